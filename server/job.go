package server

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/server/view"
	"lastroom/templates"
)

func (s *Server) jobRoutes(e *echo.Echo) {
	g := e.Group("/job/:job", signedIn, s.seesCustomers)
	g.GET("", s.job)
	g.POST("/hold", s.hold, may(shop.HoldJobs))
	g.POST("/resume", s.resume, may(shop.HoldJobs))
	g.POST("/erase", s.erase, may(shop.KeepShop))
}

func (s *Server) job(c echo.Context) error {
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).Job(j))
}

func (s *Server) hold(c echo.Context) error {
	return s.deskAct(c, "hold", func(j *jobs.Job) (*jobs.Job, error) {
		return s.workshop.Hold(c.Request().Context(), request(c), j.Number, c.FormValue("reason"))
	})
}

func (s *Server) resume(c echo.Context) error {
	return s.deskAct(c, "resume", func(j *jobs.Job) (*jobs.Job, error) {
		return s.workshop.Resume(c.Request().Context(), request(c), j.Number)
	})
}

// erase takes out what is known of the customer, photos and all.
func (s *Server) erase(c echo.Context) error {
	return s.deskAct(c, "erase", func(j *jobs.Job) (*jobs.Job, error) {
		numbers := []int{j.Number}
		for _, text := range c.Request().Form["also"] {
			other, err := s.jobNumbered(text)
			if err != nil {
				return nil, err
			}
			numbers = append(numbers, other.Number)
		}
		return j, s.workshop.Erase(c.Request().Context(), request(c), numbers, c.FormValue("reason"))
	})
}

// deskAct does one thing to a job from its page. fields are those of its form; the reason where none are
// named.
func (s *Server) deskAct(c echo.Context, form string, do func(*jobs.Job) (*jobs.Job, error), fields ...string) error {
	if len(fields) == 0 {
		fields = []string{"reason"}
	}
	j, err := s.jobOf(c)
	if err != nil {
		return err
	}
	if _, err := do(j); err != nil {
		return s.refuse(c, err, form, fields, func(b *view.Builder) (templates.View, error) { return b.Job(j), nil })
	}
	notice := templates.Notice{Text: s.say(c, "did."+form, message.Args{"job": jobs.NumberText(j.Number)})}
	return s.done(c, notice, "/job/"+jobs.NumberText(j.Number))
}
