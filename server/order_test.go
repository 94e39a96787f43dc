package server_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// file sends an order file to be reviewed.
func (v *visitor) file(name string) *visitor {
	v.Helper()
	content, err := os.ReadFile(filepath.Join("..", "testdata", "orders", name))
	if err != nil {
		v.Fatal(err)
	}
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part, err := w.CreateFormFile("file", name)
	if err != nil {
		v.Fatal(err)
	}
	if _, err := part.Write(content); err != nil {
		v.Fatal(err)
	}
	_ = w.Close()
	response, err := v.client.Post(v.server.URL+"/order/review", w.FormDataContentType(), &body)
	return v.took(response, err)
}

// answers are the fields that answer a review's findings.
var answers = regexp.MustCompile(`name="((?:who|reason)\.[0-9-]+)"`)

// A reviewed file can be opened by who sent it, once it is answered, and by nobody else.
func TestAReviewedFileIsOpenedByWhoSentIt(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").file("remark.json").shows(http.StatusOK, "Cecilia Strand", "Longlead")
	upload := url.Values{"upload": {field(t, v.page, "upload")}}
	s.as("birk").post("/order/open", upload).shows(http.StatusConflict, sentence("order.gone"))
	v.post("/order/open", upload).shows(http.StatusUnprocessableEntity, sentence("answer.reason"))
	if all := s.shop.Jobs(); len(all) != 0 {
		t.Fatalf("%d jobs were opened unanswered", len(all))
	}
	answered := url.Values{"upload": {field(t, v.page, "upload")}}
	for _, name := range answers.FindAllStringSubmatch(v.page, -1) {
		answered.Set(name[1], "Signe, by telephone")
	}
	v.post("/order/open", answered).shows(http.StatusOK, "Cecilia Strand", "1001")
	if all := s.shop.Jobs(); len(all) != 1 {
		t.Errorf("%d jobs were opened", len(all))
	}
}

// A sheet that is only looked at says so on itself; the one that the desk has put on paper does not, and a second
// print says that it is a copy.
func TestALookAtASheetIsNotAPrint(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("LASTROOM_FULL") != "" {
			t.Fatal(err)
		}
		t.Skip("pdftotext is missing: install poppler-utils")
	}
	s := newSite(t)
	s.add("ordinary.json")
	v := s.as("signe")
	read := func() string {
		t.Helper()
		if v.status != http.StatusOK {
			t.Fatalf("%s answered %d", v.at, v.status)
		}
		file := filepath.Join(t.TempDir(), "sheet.pdf")
		if err := os.WriteFile(file, []byte(v.page), 0o600); err != nil {
			t.Fatal(err)
		}
		text, err := exec.CommandContext(t.Context(), tool, file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	const look = "preview: not for the bench"
	v.get("/job/1001/sheet.pdf")
	if !strings.Contains(read(), look) {
		t.Error("a look does not say that it is one")
	}
	v.post("/job/1001/print", url.Values{"sheet": {"1"}})
	if text := read(); strings.Contains(text, look) || strings.Contains(text, "copy") {
		t.Error("the first print says that it is a look, or a copy")
	}
	v.post("/job/1001/print", url.Values{"sheet": {"1"}})
	if text := read(); strings.Contains(text, look) || !strings.Contains(text, "copy") {
		t.Error("the second print does not say that it is a copy")
	}
}
