package server

import (
	"errors"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
	"lastroom/templates"
)

// answers are the reasons of a review's form; each needs the name of who decided it too.
func (s *Server) answers(c echo.Context, reviews []workshop.Review) (workshop.Answers, error) {
	answers := make(workshop.Answers, len(reviews))
	var faults []error
	for i, r := range reviews {
		var err error
		answers[i], err = answersOf(c, r.Findings, func(n int) string { return view.FindingID(i, n) })
		faults = append(faults, err)
	}
	return answers, errors.Join(faults...)
}

// ordersOpened leads on to the job that was opened, or to the desk where there are several.
func (s *Server) ordersOpened(c echo.Context, added []*jobs.Job) error {
	notice := templates.Notice{Text: s.say(c, "did.open", message.Args{"count": len(added)})}
	for _, j := range added {
		notice.Links = append(notice.Links, templates.Link{Href: "/job/" + jobs.NumberText(j.Number), Text: jobs.NumberText(j.Number)})
	}
	if len(added) == 1 {
		return s.done(c, notice, "/job/"+jobs.NumberText(added[0].Number))
	}
	return s.done(c, notice, "/desk")
}

// answersOf are the reasons of a form's findings; each needs the name of who decided it too.
func answersOf(c echo.Context, all []spec.Finding, id func(n int) string) (map[string]string, error) {
	answers := map[string]string{}
	var faults []error
	for n, f := range all {
		if f.Severity == spec.CannotBuild {
			continue
		}
		who, reason := strings.TrimSpace(c.FormValue("who."+id(n))), strings.TrimSpace(c.FormValue("reason."+id(n)))
		if who == "" {
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "answer.who", Where: "who." + id(n)})
		}
		if reason == "" {
			faults = append(faults, &message.Fault{Kind: message.Invalid, Key: "answer.reason", Where: "reason." + id(n)})
		}
		answers[f.ID()] = message.Say(message.Default, "answer", message.Args{"who": who, "reason": reason})
	}
	return answers, errors.Join(faults...)
}
