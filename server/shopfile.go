package server

import (
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/labstack/echo/v4"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
)

func (s *Server) shopRoutes(e *echo.Echo) {
	g := e.Group("/shop", signedIn, may(shop.KeepShop))
	g.GET("", s.shopPage)
	g.POST("/check", s.checkShop)
}

// shopFile is the text of the shop file, and since when it stands so.
func (s *Server) shopFile() (text string, since time.Time, err error) {
	path := filepath.Join(s.workshop.Dir(), workshop.ShopFile)
	raw, err := os.ReadFile(path)
	if err != nil {
		return "", time.Time{}, err
	}
	info, err := os.Stat(path)
	if err != nil {
		return "", time.Time{}, err
	}
	return string(raw), info.ModTime(), nil
}

func (s *Server) shopPage(c echo.Context) error {
	text, since, err := s.shopFile()
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, s.view(c).ShopFile(text, since))
}

// checkShop checks a changed text, and keeps nothing.
func (s *Server) checkShop(c echo.Context) error {
	_, since, err := s.shopFile()
	if err != nil {
		return err
	}
	text, status := c.FormValue("text"), http.StatusOK
	_, err = shop.Parse([]byte(text), workshop.ShopFile)
	faults := message.Faults(err)
	if err != nil && len(faults) == 0 {
		return err
	}
	if len(faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.show(c, status, s.view(c).CheckedShopFile(text, since, faults))
}
