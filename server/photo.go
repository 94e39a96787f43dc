package server

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/templates"
)

func (s *Server) photoRoutes(e *echo.Echo) {
	e.GET("/photo/:hash", s.photo, signedIn, s.seesCustomers)
}

// photo is the picture itself. It is personal data: nothing between here and the page keeps it.
func (s *Server) photo(c echo.Context) error {
	raw, err := s.shop.PhotoFile(c.Param("hash"))
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, "image/jpeg", raw)
}

// photoID names a photo in the names of its fields.
func photoID(p jobs.Photo) string { return p.Hash[:12] }

// takePhoto keeps the photo that came with the form, if one did; added tells. A file that is none is a
// fault beside its field.
func (s *Server) takePhoto(c echo.Context, f *filling) (added bool, err error) {
	file, err := c.FormFile("photo")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) || err == nil && file.Size == 0 && file.Filename == "" {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	opened, err := file.Open()
	if err != nil {
		return false, err
	}
	defer opened.Close()
	s.decoding <- struct{}{} // a photo is a hundred megabytes while it is decoded: one at a time
	p, content, err := jobs.NewPhoto(opened)
	<-s.decoding
	if faults := message.Faults(err); len(faults) > 0 {
		f.faults = append(f.faults, faults...)
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if slices.ContainsFunc(f.draft.Photos, func(old jobs.Photo) bool { return old.Hash == p.Hash }) || len(f.faults) > 0 {
		return false, nil
	}
	p.Foot = spec.Both
	if side := spec.Foot(c.FormValue("photo.foot")); side == spec.Left || side == spec.Right {
		p.Foot = side
	}
	f.draft.Photos = append(slices.Clip(f.draft.Photos), p)
	return true, s.shop.KeepPhoto(p, content)
}

// readPoints reads which foot each photo shows and where its points lie. A point without a place is none;
// a photo that is ticked to be taken out is left out.
func (s *Server) readPoints(c echo.Context, f *filling) {
	var left []jobs.Photo
	for _, p := range f.draft.Photos {
		id := photoID(p)
		if c.FormValue("photo."+id+".out") == "yes" {
			continue
		}
		if side := spec.Foot(c.FormValue("photo." + id + ".foot")); slices.Contains([]spec.Foot{spec.Left, spec.Right, spec.Both}, side) {
			p.Foot = side
		}
		if _, shown := c.Request().Form["point."+id+".1.x"]; shown {
			p.Points = nil
			for n := 1; ; n++ {
				name := fmt.Sprintf("point.%s.%d", id, n)
				if _, sent := c.Request().Form[name+".x"]; !sent {
					break
				}
				point, ok, faults := readPoint(c, name)
				f.faults = append(f.faults, faults...)
				if ok {
					p.Points = append(p.Points, point)
				}
			}
		}
		left = append(left, p)
	}
	f.draft.Photos = left
}

// readPoint reads one row of a photo's points: percent from the left and from the top, both or neither.
func readPoint(c echo.Context, name string) (jobs.Point, bool, []*message.Fault) {
	x, y := strings.TrimSpace(c.FormValue(name+".x")), strings.TrimSpace(c.FormValue(name+".y"))
	if x == "" && y == "" {
		return jobs.Point{}, false, nil
	}
	p := jobs.Point{For: c.FormValue(name + ".for")}
	var faults []*message.Fault
	for _, one := range []struct {
		field, text string
		into        *float64
	}{{name + ".x", x, &p.X}, {name + ".y", y, &p.Y}} {
		v, err := unit.ParseNumber(one.text, "%")
		if err == nil && (v < 0 || v > 100) {
			err = &message.Fault{Kind: message.Invalid, Key: "photo.point"}
		}
		for _, f := range message.Faults(err) {
			told := *f
			told.Where = one.field
			faults = append(faults, &told)
		}
		*one.into = math.Round(v*10) / 10
	}
	return p, len(faults) == 0, faults
}

// adjustments are what a point of a photo can be tied to: what is done to that foot.
func (s *Server) adjustments(sp spec.Spec, side spec.Foot) []spec.Field {
	return slices.DeleteFunc(spec.Fields(sp, &s.shop.Shop().Catalogue), func(f spec.Field) bool {
		return f.Foot == spec.Both || side != spec.Both && f.Foot != side || !slices.Contains([]string{"last", "shell", "inside"}, f.Bench)
	})
}

// formPhotos are the photos of a draft with rows for their points, and one for the next.
func (s *Server) formPhotos(f filling) []templates.PhotoForm {
	var all []templates.PhotoForm
	for i, p := range f.draft.Photos {
		v := templates.PhotoForm{ID: photoID(p), Drawing: drawing(i, p), Foot: foot(p.Foot)}
		for _, side := range []spec.Foot{spec.Left, spec.Right, spec.Both} {
			v.Feet = append(v.Feet, templates.Choice{Value: string(side), Text: message.Say(message.Default, "foot."+string(side), nil), Chosen: side == p.Foot})
		}
		choices := s.adjustments(f.draft.Order.Spec, p.Foot)
		for n, one := range append(slices.Clip(p.Points), jobs.Point{}) {
			row := templates.PointRow{Number: n + 1, Choices: []templates.Choice{{Text: message.Say(message.Default, "photo.untied", nil), Chosen: one.For == ""}}}
			if n < len(p.Points) {
				row.X, row.Y = decimal(one.X), decimal(one.Y)
			}
			known := one.For == ""
			for _, to := range choices {
				row.Choices = append(row.Choices, templates.Choice{Value: to.Name, Text: fieldName(to), Chosen: to.Name == one.For})
				if to.Name == one.For {
					known, row.For = true, to.Choice(message.Default, to.Get(f.draft.Order.Spec))
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

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// drawing is a photo with its points marked on it.
func drawing(i int, p jobs.Photo) templates.Drawing {
	d := templates.Drawing{
		Src: "/photo/" + p.Hash, Width: p.Width, Height: p.Height, Radius: max(p.Width, p.Height) / 36,
		Text: message.Say(message.Default, "photo.text", message.Args{"number": i + 1, "foot": message.Say(message.Default, "foot."+string(foot(p.Foot)), nil), "count": len(p.Points)}),
	}
	for n, one := range p.Points {
		d.Marks = append(d.Marks, templates.PhotoMark{Number: n + 1, Left: int(one.X * float64(p.Width) / 100), Top: int(one.Y * float64(p.Height) / 100)})
	}
	return d
}

// jobPhotos are the photos of a job's feet, each point with what is done there.
func (s *Server) jobPhotos(j *jobs.Job) []templates.Photo {
	known := s.adjustments(j.Sheet.Spec, spec.Both)
	var all []templates.Photo
	for i, p := range s.shop.Photos(j) {
		v := templates.Photo{Drawing: drawing(i, p), Foot: foot(p.Foot)}
		for _, one := range p.Points {
			point := templates.PhotoPoint{X: decimal(one.X), Y: decimal(one.Y), For: message.Say(message.Default, "photo.untied", nil)}
			for _, f := range known {
				if f.Name == one.For {
					point.For = fieldName(f)
					if value := f.Get(j.Sheet.Spec); value != "" {
						point.For += ": " + f.Choice(message.Default, value)
					}
				}
			}
			v.Points = append(v.Points, point)
		}
		all = append(all, v)
	}
	return all
}
