package server_test

import (
	"bytes"
	"fmt"
	"html"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

var (
	inputTag    = regexp.MustCompile(`<input ([^>]*)>`)
	selectTag   = regexp.MustCompile(`(?s)<select ([^>]*)>(.*?)</select>`)
	optionTag   = regexp.MustCompile(`<option value="([^"]*)"( selected)?>`)
	textareaTag = regexp.MustCompile(`(?s)<textarea ([^>]*)>(.*?)</textarea>`)
	attribute   = regexp.MustCompile(`([a-z-]+)="([^"]*)"`)
)

// formOf is what a browser would send of the order form as it stands.
func (v *visitor) formOf() url.Values {
	v.Helper()
	_, after, ok := strings.Cut(v.page, `action="/order/form"`)
	if !ok {
		v.Fatalf("%s has no order form: %.600s", v.at, v.text())
	}
	form, _, _ := strings.Cut(after, "</form>")
	values := url.Values{}
	attributes := func(tag string) map[string]string {
		all := map[string]string{}
		for _, one := range attribute.FindAllStringSubmatch(tag, -1) {
			all[one[1]] = html.UnescapeString(one[2])
		}
		return all
	}
	for _, tag := range inputTag.FindAllStringSubmatch(form, -1) {
		a := attributes(tag[1])
		if a["type"] != "file" && (a["type"] != "checkbox" || strings.Contains(tag[1], " checked")) {
			values.Set(a["name"], a["value"])
		}
	}
	for _, tag := range selectTag.FindAllStringSubmatch(form, -1) {
		chosen := ""
		for i, option := range optionTag.FindAllStringSubmatch(tag[2], -1) {
			if i == 0 || option[2] != "" {
				chosen = html.UnescapeString(option[1])
			}
		}
		values.Set(attributes(tag[1])["name"], chosen)
	}
	for _, tag := range textareaTag.FindAllStringSubmatch(form, -1) {
		values.Set(attributes(tag[1])["name"], html.UnescapeString(tag[2]))
	}
	return values
}

// fill changes fields of the form shown and presses one of its buttons.
func (v *visitor) fill(do string, fields map[string]string) *visitor {
	v.Helper()
	values := v.formOf()
	for name, text := range fields {
		if _, ok := values[name]; !ok && !strings.HasPrefix(name, "accept.") {
			v.Fatalf("the form has no field %s", name)
		}
		values.Set(name, text)
	}
	values.Set("do", do)
	return v.post("/order/form", values)
}

// upload sends the form with a file.
func (v *visitor) upload(name string, content []byte) *visitor {
	v.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	values := v.formOf()
	values.Set("do", "review")
	for field, all := range values {
		if err := w.WriteField(field, all[0]); err != nil {
			v.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("photo", name)
	if err != nil {
		v.Fatal(err)
	}
	if _, err := part.Write(content); err != nil {
		v.Fatal(err)
	}
	_ = w.Close()
	response, err := v.client.Post(v.server.URL+"/order/form", w.FormDataContentType(), &body)
	return v.took(response, err)
}

func orderOf(t *testing.T, name string) spec.Order {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "testdata", "orders", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	orders, err := spec.ParseJSON(file, unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	return orders[0]
}

func jpegOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, w, h)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// chosen fills in what makes the benches appear.
func (v *visitor) chosen() *visitor {
	v.Helper()
	v.get("/order/form").shows(200, "Choose the pattern and the size")
	return v.fill("review", map[string]string{"customer.name": "Ada Frost", "pattern": "floe", "size.value": "265"}).shows(200, "The desk can promise")
}

func TestAnOrderIsWrittenWithoutScripts(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").chosen()
	v.fill("review", map[string]string{"last.opening.inner-ankle.right": "4 furlongs"}).shows(422, "Can't be read yet: 1", sentence("unit.unknown"))
	if !strings.Contains(v.page, `value="4 furlongs"`) {
		t.Error("what was typed did not come back")
	}
	v.fill("review", map[string]string{"last.opening.inner-ankle.right": "4 mm over 40 mm: rubs", "shell.height.step.left": "3", "shell.height.step.right": "3"}).shows(200)
	v.fill("review", map[string]string{"remarks.text": "Please push the left outer ankle bone out 3 mm."}).shows(200, "Take over:")
	if !strings.Contains(v.page, `id="order-remarks.text-said"`) {
		t.Error("the finding does not stand beside the remark")
	}
	v.fill("open", nil).shows(422, sentence("answer.who"), sentence("answer.reason"))
	accept := regexp.MustCompile(`name="(accept\.[0-9a-f]+)"`).FindStringSubmatch(v.page)
	if accept == nil {
		t.Fatalf("nothing to take over: %.900s", v.text())
	}
	v.fill("review", map[string]string{accept[1]: "yes"}).shows(200)
	if got := v.formOf().Get("last.opening.outer-ankle.left"); got != "3 mm: Please push the left outer ankle bone out 3 mm." {
		t.Errorf("taken over, the field says %q", got)
	}
	answers := map[string]string{}
	for name := range v.formOf() {
		if strings.HasPrefix(name, "who.") || strings.HasPrefix(name, "reason.") {
			answers[name] = "the fitter agreed"
		}
	}
	v.fill("open", answers).shows(200, "Jobs opened: 1", "Ada Frost")
	j := must(t)(s.shop.Job(1001))
	want := []spec.Opening{
		{Foot: spec.Right, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Extent: 40, Remark: "rubs"},
		{Foot: spec.Left, Place: spec.OuterAnkle, Direction: spec.Outwards, By: 3, Remark: "Please push the left outer ankle bone out 3 mm."},
	}
	if got := fmt.Sprint(j.Sheet.Spec.Last.Openings); got != fmt.Sprint(want) {
		t.Errorf("openings are %v", got)
	}
	if j.Sheet.Spec.Shell.Height.Right.Step != 3 || j.Promise == nil || len(j.Sheet.Passed)*2 != len(answers) {
		t.Errorf("the job has %+v, promise %v, passed %d", j.Sheet.Spec.Shell, j.Promise, len(j.Sheet.Passed))
	}
}

func TestWhatIsMissingIsToldWhenTheOrderIsToBeOpened(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").get("/order/form")
	v.fill("review", nil).shows(200, "Choose the pattern")
	v.fill("open", nil).shows(422, sentence("spec.field.missing"))
	for _, field := range []string{"customer.name", "pattern", "size.value"} {
		if !strings.Contains(v.page, `id="order-`+field+`-fault"`) {
			t.Errorf("%s is not said to be missing", field)
		}
	}
	v.fill("open", map[string]string{"customer.name": "Ada", "pattern": "floe", "size.value": "265", "customer.email": "nowhere"}).shows(422, sentence("spec.field.email"))
	if len(s.shop.Jobs()) != 0 {
		t.Error("a job was opened")
	}
}

func TestADraftIsKeptAndBecomesTheJob(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").chosen()
	v.fill("save", map[string]string{"feet.length.left": "266", "remarks.text": "wax", "remarks.operation": "finishing"}).shows(200, "The draft is saved.", "Saved")
	w := s.as("birk") // somebody else goes on with it
	w.get("/order").shows(200, "Ada Frost Floe, bandy boot")
	key := regexp.MustCompile(`/order/form\?draft=(draft-[0-9a-f]+)`).FindStringSubmatch(w.page)
	w.get("/order/form?draft=" + key[1]).shows(200)
	if got := w.formOf(); got.Get("feet.length.left") != "266 mm" || got.Get("remarks.text") != "wax" || got.Get("customer.name") != "Ada Frost" {
		t.Errorf("the draft came back as %v", got)
	}
	w.fill("review", nil)
	answers := map[string]string{}
	for name := range w.formOf() {
		if strings.HasPrefix(name, "who.") || strings.HasPrefix(name, "reason.") {
			answers[name] = "asked"
		}
	}
	w.fill("open", answers).shows(200, "Jobs opened: 1")
	v.get("/order/form?draft="+key[1]).shows(404, sentence("draft.unknown"))
	v.get("/order").shows(200)
	if strings.Contains(v.text(), "Ada Frost") {
		t.Error("the draft is still listed")
	}
}

// Two people have one draft open: who saves second is told, and nothing of the first is lost.
func TestADraftThatSomebodyElseSavedIsNotOverwritten(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").chosen().fill("save", nil).shows(200)
	w := s.as("birk").get(v.at).shows(200)
	s.pass(time.Minute)
	v.fill("save", map[string]string{"feet.length.left": "266"}).shows(200, "The draft is saved.")
	w.fill("save", map[string]string{"feet.length.left": "270"}).shows(422, sentence("draft.changed"))
	w.fill("review", nil).shows(200)
	w.fill("save", nil).shows(422, sentence("draft.changed"))
	if d, err := s.shop.Draft(v.formOf().Get("draft")); err != nil || d.Order.Spec.Feet.Left.Length != 266 {
		t.Errorf("the draft has %v, %v", d.Order.Spec.Feet.Left.Length, err)
	}
}

func TestADraftIsDropped(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").chosen().fill("save", nil).shows(200)
	v.post("/order/drop", url.Values{"draft": {v.formOf().Get("draft")}}).shows(200, "The draft is dropped.")
	if left, err := s.shop.Drafts(t.Context()); err != nil || len(left) != 0 {
		t.Errorf("left: %v, %v", left, err)
	}
}

// The page sent again after a change is another request: nothing that was typed is lost to the key.
func TestTheSamePageSentAgainWithAChangeIsAnotherRequest(t *testing.T) {
	s := newSite(t)
	v := s.as("signe").chosen()
	values := v.formOf()
	values.Set("do", "save")
	v.post("/order/form", values).shows(200)
	values.Set("customer.name", "Bo Frost")
	v.post("/order/form", values).shows(200)
	v.post("/order/form", values).shows(200)
	if all, err := s.shop.Drafts(t.Context()); err != nil || len(all) != 2 {
		t.Errorf("%d drafts, want Ada's and Bo's: %v", len(all), err)
	}
}

// What the form shows and posts back unchanged is the order as it was, for every whole order.
func TestWhatTheFormShowsAndPostsBackChangesNothing(t *testing.T) {
	slow(t)
	s := newSite(t)
	v := s.as("signe")
	names, err := filepath.Glob(filepath.Join("..", "testdata", "orders", "review", "*.json"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no orders: %v", err)
	}
	desk, _ := s.shop.Shop().Person("signe")
	for i, name := range names {
		o := orderOf(t, filepath.Join("review", filepath.Base(name)))
		d, err := s.shop.SaveDraft(t.Context(), workshop.Request{By: desk, Key: fmt.Sprintf("draft-of-%d", i)}, jobs.OrderDraft{Order: o})
		if err != nil {
			t.Fatal(err)
		}
		v.get("/order/form?draft=" + d.Key).shows(200)
		v.fill("save", nil)
		if v.status == http.StatusUnprocessableEntity {
			t.Errorf("%s: %.300s", name, v.text())
			continue
		}
		again, err := s.shop.Draft(d.Key)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := fmt.Sprintf("%+v", again.Order), fmt.Sprintf("%+v", o); got != want {
			t.Errorf("%s came back as\n%s\nwant\n%s", name, got, want)
		}
	}
}

func TestAPhotoIsTakenMarkedAndShownOnTheJob(t *testing.T) {
	slow(t)
	s := newSite(t)
	v := s.as("signe").chosen().fill("review", map[string]string{"last.opening.inner-ankle.right": "4 mm"}).shows(200)
	v.upload("foot.jpg", []byte("this is a text")).shows(422, sentence("photo.format"))
	v.upload("foot.jpg", jpegOf(t, 400, 300)).shows(200, "The draft is saved.", "photo 1")
	hash := regexp.MustCompile(`/photo/([0-9a-f]{64})`).FindStringSubmatch(v.page)[1]
	id := hash[:12]
	v.fill("review", map[string]string{"photo." + id + ".foot": "right", "point." + id + ".1.x": "250", "point." + id + ".1.y": "40"}).shows(422, sentence("photo.point"))
	v.fill("save", map[string]string{"photo." + id + ".foot": "right"})
	v.fill("save", map[string]string{
		"point." + id + ".1.x": "25", "point." + id + ".1.y": "40,5 %", "point." + id + ".1.for": "last.opening.inner-ankle.right",
	}).shows(200, "Point 2")
	if !strings.Contains(v.page, `<circle cx="100" cy="121"`) {
		t.Error("the point is not drawn where it lies")
	}
	v.fill("open", nil)
	if v.status == http.StatusUnprocessableEntity {
		answers := map[string]string{}
		for name := range v.formOf() {
			if strings.HasPrefix(name, "who.") || strings.HasPrefix(name, "reason.") {
				answers[name] = "asked"
			}
		}
		v.fill("open", answers)
	}
	v.shows(200, "last at the inner ankle bone: outwards, or - for inwards, right: 4 mm", "25 % from the left, 40.5 % from the top")
	v.get("/photo/" + hash).shows(200)
	s.as("runa").get("/photo/" + hash).shows(403)
	s.visit().get("/photo/" + hash).shows(401)
	v.get("/photo/..%2Fshop.toml").shows(404)
	if strings.Contains(v.get("/job/1001").text(), "Erase") {
		t.Error("the desk may erase")
	}
	lead := s.as("birk").get("/job/1001").shows(200, "Erase the customer", "Ada Frost")
	lead.post("/job/1001/erase", url.Values{"reason": {""}}).shows(422, sentence("text.empty"))
	lead.post("/job/1001/erase", url.Values{"reason": {"asked for it"}}).shows(200, "The customer of 1001 is erased.")
	if strings.Contains(lead.page, hash) || strings.Contains(lead.text(), "Ada Frost") {
		t.Error("the job still tells whose it was")
	}
	lead.get("/photo/"+hash).shows(404, sentence("photo.unknown"))
}

func TestAPhotoIsTakenOut(t *testing.T) {
	slow(t)
	s := newSite(t)
	v := s.as("signe").chosen().upload("foot.jpg", jpegOf(t, 40, 30)).shows(200, "photo 1")
	hash := regexp.MustCompile(`/photo/([0-9a-f]{64})`).FindStringSubmatch(v.page)[1]
	values := v.formOf()
	values.Set("photo."+hash[:12]+".out", "yes")
	values.Set("do", "save")
	v.post("/order/form", values).shows(200)
	if strings.Contains(v.page, hash) {
		t.Error("it is still shown")
	}
	v.get("/photo/"+hash).shows(404, sentence("photo.unknown"))
}
