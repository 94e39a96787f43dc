package view

import (
	"lastroom/jobs/code"
	"lastroom/templates"
)

// SignIn asks for badge and PIN. badge is the one that was read, which greets its holder; empty where none was.
func (b *Builder) SignIn(next string, badge code.Code) templates.SignIn {
	v := templates.SignIn{Frame: b.frame(""), Next: next}
	if p, err := b.workshop.Badge(badge); badge != "" && err == nil {
		v.Badge, v.Name = string(badge), p.Name
	}
	return v
}

// SignInRefused asks again, with a sentence beside the field that it is about; wait is the one that is about
// none: too many tries were made.
func (b *Builder) SignInRefused(next, typed, field, fault, wait string) templates.SignIn {
	v := templates.SignIn{Frame: b.frame(""), Next: next, Wait: wait}
	v.Form = templates.Form{Name: "sign-in", Fields: []templates.Field{{Name: "badge", Value: typed}, {Name: "pin"}}}
	for i := range v.Form.Fields {
		if v.Form.Fields[i].Name == field {
			v.Form.Fields[i].Fault = fault
		}
	}
	v.Sound = soundRefused
	return v
}

// Stranger is what a code shows to somebody who has not signed in. next is where the sign-in leads, and phone
// the workshop's.
func (b *Builder) Stranger(next, phone string) templates.Stranger {
	return templates.Stranger{Frame: b.frame(""), Next: next, Phone: phone}
}

// Error is the page of a status with what happened and what to do. id is the one under which the log has it;
// empty where the log has nothing.
func (b *Builder) Error(status int, what, do, id string) templates.Error {
	v := templates.Error{Frame: b.frame(""), Status: status, What: what, Do: do, ID: id}
	v.Sound = soundRefused
	return v
}
