package server_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
)

// program is what calls the API: every request that it is right to send, and every answer, is held
// against the OpenAPI document that the server itself gives.
type program struct {
	*site
	router routers.Router
	badge  string
	pin    string
	status int
	header http.Header
	body   []byte
}

func (s *site) program(who string) *program {
	s.Helper()
	response, err := http.Get(s.server.URL + "/api/v1/openapi.json")
	if err != nil {
		s.Fatal(err)
	}
	defer response.Body.Close()
	raw, err := io.ReadAll(response.Body)
	if err != nil {
		s.Fatal(err)
	}
	doc, err := openapi3.NewLoader().LoadFromData(raw)
	if err != nil {
		s.Fatal(err)
	}
	if err := doc.Validate(s.Context()); err != nil {
		s.Fatalf("not an OpenAPI document: %v", err)
	}
	doc.Servers = openapi3.Servers{{URL: s.server.URL}} // "/" is of wherever the document comes from
	router, err := legacy.NewRouter(doc)
	if err != nil {
		s.Fatal(err)
	}
	person, _ := s.shop.Shop().Person(who)
	return &program{site: s, router: router, badge: string(person.Badge), pin: pins[who]}
}

// call sends a request. right says that the document allows it; its answer must fit whatever it is.
func (p *program) call(right bool, method, path, kind, key, body string) {
	p.Helper()
	r, err := http.NewRequestWithContext(p.Context(), method, p.server.URL+path, strings.NewReader(body))
	if err != nil {
		p.Fatal(err)
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	if key != "" {
		r.Header.Set("Idempotency-Key", key)
	}
	if p.badge != "" {
		r.SetBasicAuth(p.badge, p.pin)
	}
	route, params, err := p.router.FindRoute(r)
	if err != nil {
		p.Fatalf("%s %s is not in the document: %v", method, path, err)
	}
	options := &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}
	input := &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route, Options: options}
	if err := openapi3filter.ValidateRequest(p.Context(), input); (err == nil) != right {
		p.Errorf("%s %s: right is %t, the document says %v", method, path, right, err)
	}
	r.Body = io.NopCloser(strings.NewReader(body))
	response, err := http.DefaultClient.Do(r)
	if err != nil {
		p.Fatal(err)
	}
	defer response.Body.Close()
	p.status, p.header = response.StatusCode, response.Header
	if p.body, err = io.ReadAll(response.Body); err != nil {
		p.Fatal(err)
	}
	err = openapi3filter.ValidateResponse(p.Context(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: input, Status: p.status, Header: p.header, Body: io.NopCloser(bytes.NewReader(p.body)),
		Options: &openapi3filter.Options{IncludeResponseStatus: true},
	})
	if err != nil {
		p.Errorf("%s %s answered %d otherwise than the document says: %v", method, path, p.status, err)
	}
}

// answers checks status, and codes and fields of the faults.
func (p *program) answers(status int, faults ...string) {
	p.Helper()
	var problem struct {
		Faults []struct {
			Code, Where, Text string
			Args              map[string]any
		}
	}
	if status >= 400 {
		if err := json.Unmarshal(p.body, &problem); err != nil {
			p.Fatal(err)
		}
	}
	var got []string
	for _, f := range problem.Faults {
		got = append(got, f.Code+" "+f.Where)
		if f.Text == "" {
			p.Errorf("%s has no sentence", f.Code)
		}
	}
	if p.status != status || !slices.Equal(got, faults) {
		p.Fatalf("answered %d %q, want %d %q: %.600s", p.status, got, status, faults, p.body)
	}
}

type openedJobs struct {
	Jobs []struct {
		Number    int
		Sheet     int
		Reference string
		Promise   struct {
			Day        string
			Confidence float64
		}
	}
}

func (p *program) opened() openedJobs {
	p.Helper()
	var all openedJobs
	if err := json.Unmarshal(p.body, &all); err != nil {
		p.Fatal(err)
	}
	return all
}

func orderFile(t *testing.T, name string) string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "testdata", "orders", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

const aJSON = "application/json"

func TestOrdersComeByTheAPI(t *testing.T) {
	s := newSite(t)
	p := s.program("signe")
	order := orderFile(t, "ordinary.json")
	p.call(true, "POST", "/api/v1/orders", aJSON, "first", order)
	p.answers(201)
	first := p.opened()
	if len(first.Jobs) != 1 || first.Jobs[0].Number != 1001 || first.Jobs[0].Promise.Day == "" || first.Jobs[0].Promise.Confidence != 0.9 {
		t.Errorf("answered %+v", first)
	}
	if p.header.Get("Location") != "/api/v1/jobs/1001" {
		t.Errorf("Location is %q", p.header.Get("Location"))
	}
	s.pass(400 * 24 * time.Hour) // the review would ask by now whether there is to be another pair
	p.call(true, "POST", "/api/v1/orders", aJSON, "first", order)
	p.answers(201)
	if again := p.opened(); again.Jobs[0] != first.Jobs[0] || len(s.shop.Jobs()) != 1 {
		t.Errorf("sent again it answered %+v, and there are %d jobs", again, len(s.shop.Jobs()))
	}
	p.call(true, "POST", "/api/v1/orders", aJSON, "again", order)
	p.answers(409, "order.unanswered orders[0].reference")
	two := strings.Replace(order, "counter 1", "counter 7", 1) + "," + strings.Replace(order, "counter 1", "counter 8", 1)
	p.call(true, "POST", "/api/v1/orders", aJSON, "second", "["+two+"]")
	p.answers(201)
	if all := p.opened(); len(all.Jobs) != 2 || all.Jobs[1].Number != 1003 {
		t.Errorf("answered %+v", all)
	}
	p.call(true, "GET", "/api/v1/jobs?q=1001", "", "", "")
	p.answers(200)
	p.call(true, "GET", "/api/v1/jobs/1003", "", "", "")
	p.answers(200)
	p.call(true, "GET", "/api/v1/jobs/4711", "", "", "")
	p.answers(404, "job.unknown ")
}

func TestOrdersComeAsCSV(t *testing.T) {
	s := newSite(t)
	p := s.program("signe")
	head := "name,pattern,size_system,size\n"
	p.call(true, "POST", "/api/v1/orders", "text/csv; charset=utf-8", "k1", head+"Ada,floe,mondopoint,tall\n")
	if p.status != 422 || !strings.Contains(string(p.body), `"where":"line 2`) {
		t.Errorf("answered %d: %s", p.status, p.body)
	}
	if len(s.shop.Jobs()) != 0 {
		t.Error("a job was opened")
	}
	head = "reference,name,pattern,size_system,size,method,length,ball_breadth,ball_girth,instep_girth,heel_girth,heel_raised,ankle_girth,inner_ankle,outer_ankle\n"
	p.call(true, "POST", "/api/v1/orders", "text/csv", "k2", head+"c1,Ada,floe,mondopoint,265,hand,265,101,248,252,338,12,229,81,71\nc2,Bo,floe,mondopoint,265,hand,265,101,248,252,338,12,229,81,71\n")
	p.answers(201)
	if all := p.opened(); len(all.Jobs) != 2 || all.Jobs[1].Reference != "c2" {
		t.Errorf("answered %+v", all)
	}
}

func TestAFindingComesBackAsAFaultAndIsPassedByItsID(t *testing.T) {
	s := newSite(t)
	p := s.program("signe")
	order := orderFile(t, "remark.json")
	p.call(true, "POST", "/api/v1/orders", aJSON, "asks", order)
	var problem struct {
		Faults []struct {
			Code string
			Args struct{ ID string }
		}
	}
	if err := json.Unmarshal(p.body, &problem); err != nil || p.status != 409 || len(problem.Faults) == 0 {
		t.Fatalf("answered %d: %s", p.status, p.body)
	}
	pass := map[string]string{}
	for _, f := range problem.Faults {
		if f.Code != "order.unanswered" || f.Args.ID == "" {
			t.Fatalf("got %+v", f)
		}
		pass[f.Args.ID] = "Cecilia was asked by telephone"
	}
	body, err := json.Marshal(map[string]any{"orders": json.RawMessage(order), "pass": []any{pass}})
	if err != nil {
		t.Fatal(err)
	}
	p.call(true, "POST", "/api/v1/orders", aJSON, "answered", string(body))
	p.answers(201)
	j := must(t)(s.shop.Job(1001))
	if len(j.Sheet.Passed) != len(pass) || j.Sheet.Passed[0].By != "signe" {
		t.Errorf("passed: %+v", j.Sheet.Passed)
	}
}

func TestWhatTheAPIRefuses(t *testing.T) {
	s := newSite(t)
	p := s.program("signe")
	order := orderFile(t, "ordinary.json")
	p.call(false, "POST", "/api/v1/orders", aJSON, "", order)
	p.answers(422, "api.key Idempotency-Key")
	p.call(false, "POST", "/api/v1/orders", aJSON, "k", `{"customer": {"name": ""}, "spec": {"pattern": "floe", "size": {"system": "mondopoint", "value": -1}}}`)
	p.answers(422, "spec.field.blank customer.name", "spec.field.above spec.size.value")
	p.call(false, "POST", "/api/v1/orders", aJSON, "k", `{"orders": `+order+`, "pass": [], "force": true}`)
	p.answers(422, "api.json ")
	p.call(false, "POST", "/api/v1/orders", "text/html", "k", order)
	p.answers(415)
	// What can't be built is not passed, whatever is said for it.
	long := orderFile(t, filepath.Join("review", "long-holder.json"))
	p.call(true, "POST", "/api/v1/orders", aJSON, "k", long)
	if p.status != 409 || !strings.Contains(string(p.body), "order.cannot-build") {
		t.Errorf("answered %d: %s", p.status, p.body)
	}
	if len(s.shop.Jobs()) != 0 {
		t.Errorf("%d jobs were opened", len(s.shop.Jobs()))
	}
}

func TestWhoMayCallTheAPI(t *testing.T) {
	slow(t)
	s := newSite(t)
	order := orderFile(t, "ordinary.json")
	nobody := s.program("signe")
	nobody.badge = ""
	nobody.call(true, "POST", "/api/v1/orders", aJSON, "k", order)
	nobody.answers(401, "person.sign-in ")
	if !strings.HasPrefix(nobody.header.Get("WWW-Authenticate"), "Basic ") {
		t.Error("it is not said how to sign in")
	}
	worker := s.program("runa")
	worker.call(true, "POST", "/api/v1/orders", aJSON, "k", order)
	worker.answers(403, "person.may-not ")
	worker.call(true, "GET", "/api/v1/jobs", "", "", "")
	worker.answers(403, "person.may-not ")
	// A wrong PIN is counted as at the sign-in: after three, even the right one waits.
	wrong := s.program("signe")
	wrong.pin = "0000"
	for range 3 {
		wrong.call(true, "POST", "/api/v1/orders", aJSON, "k", order)
		wrong.answers(401, "session.pin ")
	}
	wrong.pin = pins["signe"]
	wrong.call(true, "POST", "/api/v1/orders", aJSON, "k", order)
	wrong.answers(429)
	if wrong.header.Get("Retry-After") == "" {
		t.Error("it is not said how long to wait")
	}
	s.pass(time.Minute)
	wrong.call(true, "POST", "/api/v1/orders", aJSON, "k", order)
	wrong.answers(201)
	// A page's own session is enough.
	v := s.as("signe").get("/api/v1/jobs/1001").shows(200, `"number":1001`)
	if v.page == "" {
		t.Error("no answer")
	}
}

// Every order of testdata fits the order schema as the document has it.
func TestTheDocumentTakesEveryOrderFile(t *testing.T) {
	slow(t)
	s := newSite(t)
	p := s.program("signe")
	names, err := filepath.Glob(filepath.Join("..", "testdata", "orders", "review", "*.json"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no orders: %v", err)
	}
	for i, name := range names {
		p.call(true, "POST", "/api/v1/orders", aJSON, "k"+string(rune('a'+i)), orderFile(t, filepath.Join("review", filepath.Base(name))))
		if p.status != 201 && p.status != 409 {
			t.Errorf("%s answered %d: %.300s", name, p.status, p.body)
		}
	}
}
