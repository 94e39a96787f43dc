package server

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
	"lastroom/server/view"
)

func (s *Server) photoRoutes(e *echo.Echo) {
	e.GET("/photo/:hash", s.photo, signedIn, s.seesCustomers)
}

// photo is the picture itself. It is personal data: nothing between here and the page keeps it.
func (s *Server) photo(c echo.Context) error {
	raw, err := s.workshop.PhotoFile(c.Param("hash"))
	if err != nil {
		return err
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.Blob(http.StatusOK, "image/jpeg", raw)
}

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
	p, content, err := workshop.NewPhoto(opened)
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
	return true, s.workshop.KeepPhoto(p, content)
}

// readPoints reads which foot each photo shows and where its points lie. A point without a place is none;
// a photo that is ticked to be taken out is left out.
func (s *Server) readPoints(c echo.Context, f *filling) {
	var left []jobs.Photo
	for _, p := range f.draft.Photos {
		id := view.PhotoID(p)
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
