package view

import (
	"slices"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/templates"
)

// PhotoID names a photo in the names of its fields.
func PhotoID(p jobs.Photo) string { return p.Hash[:12] }

// adjustments are what a point of a photo can be tied to: what is done to that foot.
func (b *Builder) adjustments(sp spec.Spec, side spec.Foot) []spec.Field {
	return slices.DeleteFunc(spec.Fields(sp, &b.shop.Catalogue), func(f spec.Field) bool {
		return f.Foot == spec.Both || side != spec.Both && f.Foot != side || !slices.Contains([]string{"last", "shell", "inside"}, f.Bench)
	})
}

// formPhotos are the photos of a draft with rows for their points, and one for the next.
func (b *Builder) formPhotos(d jobs.OrderDraft) []templates.PhotoForm {
	var all []templates.PhotoForm
	for i, p := range d.Photos {
		v := templates.PhotoForm{ID: PhotoID(p), Drawing: b.drawing(i, p), Foot: foot(p.Foot)}
		for _, side := range []spec.Foot{spec.Left, spec.Right, spec.Both} {
			v.Feet = append(v.Feet, templates.Choice{Value: string(side), Text: b.footName(side), Chosen: side == p.Foot})
		}
		choices := b.adjustments(d.Order.Spec, p.Foot)
		for n, one := range append(slices.Clip(p.Points), jobs.Point{}) {
			row := templates.PointRow{Number: n + 1, Choices: []templates.Choice{{Text: b.Say("photo.untied", nil), Chosen: one.For == ""}}}
			if n < len(p.Points) {
				row.X, row.Y = decimal(one.X), decimal(one.Y)
			}
			known := one.For == ""
			for _, to := range choices {
				row.Choices = append(row.Choices, templates.Choice{Value: to.Name, Text: b.fieldName(to), Chosen: to.Name == one.For})
				if to.Name == one.For {
					known, row.For = true, to.Choice(b.language, to.Get(d.Order.Spec))
				}
			}
			if !known {
				row.Choices = append(row.Choices, templates.Choice{Value: one.For, Text: one.For, Chosen: true})
			}
			v.Rows = append(v.Rows, row)
		}
		all = append(all, v)
	}
	return all
}

// drawing is a photo with its points marked on it.
func (b *Builder) drawing(i int, p jobs.Photo) templates.Drawing {
	d := templates.Drawing{
		Src: "/photo/" + p.Hash, Width: p.Width, Height: p.Height, Radius: max(p.Width, p.Height) / 36,
		Text: b.Say("photo.text", message.Args{"number": i + 1, "foot": b.footName(p.Foot), "count": len(p.Points)}),
	}
	for n, one := range p.Points {
		d.Marks = append(d.Marks, templates.PhotoMark{Number: n + 1, Left: int(one.X * float64(p.Width) / 100), Top: int(one.Y * float64(p.Height) / 100)})
	}
	return d
}

// jobPhotos are the photos of a job's feet, each point with what is done there.
func (b *Builder) jobPhotos(j *jobs.Job) []templates.Photo {
	known := b.adjustments(j.Sheet.Spec, spec.Both)
	var all []templates.Photo
	for i, p := range b.workshop.Photos(j) {
		v := templates.Photo{Drawing: b.drawing(i, p), Foot: foot(p.Foot)}
		for _, one := range p.Points {
			point := templates.PhotoPoint{X: decimal(one.X), Y: decimal(one.Y), For: b.Say("photo.untied", nil)}
			for _, f := range known {
				if f.Name == one.For {
					point.For = b.fieldName(f)
					if value := f.Get(j.Sheet.Spec); value != "" {
						point.For += ": " + f.Choice(b.language, value)
					}
				}
			}
			v.Points = append(v.Points, point)
		}
		all = append(all, v)
	}
	return all
}
