// Package templates draws the pages that people see: it is handed a view, a plain value made for one
// page, and gives back that page whole. It knows nothing of boots or jobs; the server turns jobs into
// views. What follows is what the pages rely on: addresses, forms and fields.
//
// # Pages
//
//	address                        page, view          who opens it
//	GET  /                         —                   sent on to the first page of one's role
//	GET  /sign-in?next=            sign-in, SignIn     anybody
//	GET  /station                  stations, Stations  floor
//	GET  /station/{station}?load=  station, Station    floor; load once for each pair gathered
//	GET  /station/{station}/job/{number}   pair, Pair; at the station that inspects: qc, QC
//	GET  /S/{code}, /s/{code}      scan, Scan; to a stranger: stranger, Stranger, whatever the code
//	GET  /desk?q=&show=            desk, Desk          front desk, lead
//	GET  /order                    order-new, OrderNew
//	GET  /order/form?draft=&repeat=   order-form, OrderForm
//	GET  /photo/{hash}             the JPEG of a photo; desk, lead, inspector
//	GET  /job/{number}             job, Job
//	GET  /job/{number}/change      change, Change
//	GET  /lead                     lead, Lead
//	GET  /plan?if=&kind=&station=&first=&last=&hours=   plan, Plan; front desk and lead; if is what was tried, repeated
//	GET  /calendar.ics?token=      promised days, text/calendar; for programs, by the person's own token
//	GET  /shop                     shop, Shop
//	GET  /quality?check=&foot=&station=&pattern=&person=&gauge=   quality, Quality; lead and inspector
//	GET  /gauges                   gauges, Gauges
//	GET  /gauges/{gauge}           gauge, Gauge
//	GET  /gauges/{gauge}/study?study=&anew=   study, Study; floor: anew asks for the last readings again
//	GET  /gauges/{gauge}/bias      bias, Bias; POST computes, and keeps nothing
//	GET  /recall?lot=              recall, Recall
//	GET  /quality.csv, /gauges.csv, /gauges/{gauge}/passed.csv, /gauges/{gauge}/study.csv, /recall.csv
//	GET  /static/{name}            Assets
//	GET  what Frame.Live says      text/event-stream: an event "changed" whenever the page would differ
//	any other                      error, Error, with its status
//
// Papers are links that the server gives (Link, SheetLine.Href, Nonconformity.Slip).
//
// # Forms
//
// All are POST, urlencoded but for the order file. Each carries key, its idempotency key: the same key
// again changes nothing and gets the first answer's page. A form is named as in the first column; the
// server puts that name into Form.Name when it refuses, and the names of fields into Form.Fields.
//
//	form          address                                      fields beside key
//	sign-in       /sign-in                                     badge, pin, next; without pin the page asks for it
//	sign-out      /sign-out                                    —
//	scan          /station/{station}/scan                      code, with (number of the pair on the bench),
//	                                                           load (pairs gathered so far as number-sheet, repeated)
//	load          /station/{station}/load                      load (number-sheet, repeated): starts all of them or none
//	start         /station/{station}/job/{number}/start        sheet
//	confirm       /station/{station}/job/{number}/confirm      sheet, instruction
//	reading-{ID}  /station/{station}/job/{number}/reading      sheet, check, gauge and the names of Check.Inputs
//	finish        /station/{station}/job/{number}/finish       sheet, lot-{Part.Name}
//	stopped       /station/{station}/job/{number}/stopped      at, as datetime-local writes it, in the workshop's zone; or goes
//	undo          what Undo.Action says                        entry
//	release       /station/{station}/job/{number}/release      sheet
//	rework        /station/{station}/job/{number}/rework       sheet, check, foot, cause, to, reason
//	concession    /station/{station}/job/{number}/concession   sheet, check, foot, cause, agreed, reason
//	scrap         /station/{station}/job/{number}/scrap        sheet, check, foot, cause, reason
//	review        /order/review                                file (multipart)
//	open          /order/open                                  upload; accept.{ID}, who.{ID}, reason.{ID}
//	order         /order/form                                  draft, saved, base, do (review, save, open), photo (multipart),
//	                                                           photo.foot and the names of SpecField; photo.{Photo.ID}.foot
//	                                                           and .out; point.{Photo.ID}.{Number}.x, .y and .for;
//	                                                           accept.{ID}, who.{ID}, reason.{ID}
//	drop          /order/drop                                  draft
//	print         /job/{number}/print                          sheet; answers 303 to the PDF
//	day           /desk/print                                  —; answers 303 to the PDF of every sheet not on paper yet
//	hold          /job/{number}/hold                           reason
//	resume        /job/{number}/resume                         reason
//	erase         /job/{number}/erase                          reason, also (numbers of further jobs, repeated)
//	pin           /job/{number}/pin                            turn, reason
//	unpin         /job/{number}/unpin                          —
//	change        /job/{number}/change                         sheet, reason and the names of SpecField
//	confirm       /job/{number}/change/confirm                 sheet, draft, reason; accept.{ID}, who.{ID}, reason.{ID}
//	check         /shop/check                                  text
//	answer-{ID}   /quality/signal                              signal, note, anew
//	calibrated    /gauges/{gauge}/calibrated                   on, due, uncertainty, wrong
//	plan          /gauges/{gauge}/plan                         parts, trials, people (keys, repeated)
//	study         /gauges/{gauge}/study                        study, from, reading-{index}
//	adopt         /gauges/{gauge}/adopt                        study
//	bias          /gauges/{gauge}/bias                         lines
//
// # Answers
//
// What was done answers 303 to the page that shows it, with a Notice; the notice must survive that one
// step, and is not for a page's own look at what has changed, which says so by the header Lastroom-Refresh. What was refused answers with its 4xx and the page itself: the form's own page with Frame.Form
// filled, or the page refusal where there is nothing to mend. Nobody signed in is 401 with the page
// sign-in, whose form leads back.
//
// With scripts the same addresses are asked by fetch and the page that comes back is shown in place, so
// nothing answers differently to a script. A scan, load, start, confirm, reading or finish that was made
// while the network was away comes later, in order, with one field more: waited, the instant at which it
// was made, by the clock of that device (RFC 3339). Answers of 401, 408, 429 and 5xx keep it waiting; any
// other ends it, and a 4xx is shown to the person with the words of the page refusal or of the faults.
package templates
