package print

import (
	"context"
	"errors"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// The functions of this file make each paper's content from what a workshop knows. Their faults are
// those of Workshop.Job.

// OriginOf is the workshop, now.
func OriginOf(w *workshop.Workshop) Origin {
	return Origin{Workshop: w.Shop().Name, Zone: w.Shop().Zone, Printed: w.Now()}
}

// address is what the square of a code opens.
func address(w *workshop.Workshop, c code.Code) string { return w.Shop().Public + "/S/" + string(c) }

// patternName is the name of a pattern, or its key where the catalogue no longer has it.
func patternName(c *spec.Catalogue, key string) string {
	if p, ok := c.Patterns[key]; ok {
		return p.Name
	}
	return key
}

// Of is the ticket of a job's sheet in force.
func Of(w *workshop.Workshop, number int) (Ticket, error) {
	t, err := w.Ticket(number)
	if err != nil {
		return Ticket{}, err
	}
	made := NewTicket(t, &w.Shop().Catalogue)
	made.Photos = photosOf(w, t)
	return made, nil
}

// LabelsOf are the labels of both boots of a job.
func LabelsOf(w *workshop.Workshop, number int) ([]Label, error) {
	j, err := w.Job(number)
	if err != nil {
		return nil, err
	}
	var labels []Label
	for _, foot := range spec.Feet {
		c, err := code.ForBoot(number, foot)
		if err != nil {
			return nil, err
		}
		labels = append(labels, Label{
			Job: number, Foot: foot, Code: c, URL: address(w, c),
			Pattern: patternName(&w.Shop().Catalogue, j.Sheet.Spec.Pattern), Size: j.Sheet.Spec.Size,
		})
	}
	return labels, nil
}

// StationCardsOf are the cards of the stations that have a code.
func StationCardsOf(w *workshop.Workshop) []Card {
	var cards []Card
	for _, s := range w.Shop().Stations {
		if s.Card != "" {
			cards = append(cards, Card{Name: s.Name, Code: s.Card, URL: address(w, s.Card)})
		}
	}
	return cards
}

// BadgesOf are the badges of the people who have one.
func BadgesOf(w *workshop.Workshop) []Card {
	var cards []Card
	for _, p := range w.Shop().People {
		if p.Badge != "" {
			cards = append(cards, Card{Name: p.Name, Note: p.Role.Name(message.Default), Code: p.Badge, URL: address(w, p.Badge)})
		}
	}
	return cards
}

// people are the names of the workshop's people by key.
func people(w *workshop.Workshop) map[string]string {
	names := map[string]string{}
	for _, p := range w.Shop().People {
		names[p.Key] = p.Name
	}
	return names
}

// SlipOf is the slip that the customer of a job takes home.
func SlipOf(w *workshop.Workshop, number int) (CustomerSlip, error) {
	j, err := w.Job(number)
	if err != nil {
		return CustomerSlip{}, err
	}
	s := w.Shop()
	return CustomerSlip{
		Job: number, Customer: s.Privacy.Show(w.Customer(j).Name), Pattern: patternName(&s.Catalogue, j.Sheet.Spec.Pattern),
		Size: j.Sheet.Spec.Size, Received: spec.DateOf(j.Opened.In(s.Zone)), Promise: j.Promise, Address: s.Address,
	}, nil
}

// ReworksOf are the slips of all that sent a job back, the last first.
func ReworksOf(w *workshop.Workshop, number int) ([]ReworkSlip, error) {
	j, err := w.Job(number)
	if err != nil {
		return nil, err
	}
	c, err := j.Sheet.Code()
	if err != nil {
		return nil, err
	}
	var slips []ReworkSlip
	for i := len(j.Decisions) - 1; i >= 0; i-- {
		if j.Decisions[i].Disposition == jobs.Rework {
			slips = append(slips, ReworkSlip{Job: j, Decision: j.Decisions[i], Code: c, URL: address(w, c), People: people(w)})
		}
	}
	return slips, nil
}

// CertificateOf is the certificate of a job, sealed by the hash of the entry that released it.
func CertificateOf(ctx context.Context, w *workshop.Workshop, number int) (Certificate, error) {
	t, err := Of(w, number)
	if err != nil {
		return Certificate{}, err
	}
	j, err := w.Job(number)
	if err != nil {
		return Certificate{}, err
	}
	made := Certificate{
		Job: j, Customer: w.Customer(j).Name, Pattern: t.Pattern, Address: w.Shop().Address, People: people(w),
		Agreed: map[string]string{}, Lots: jobs.Holdings([]*jobs.Job{j}), URL: t.URL,
	}
	for _, d := range j.Decisions {
		made.Agreed[d.AgreedBy] = w.AgreedBy(d)
	}
	for _, e := range j.Events {
		if _, released := e.Body.(jobs.Released); !released || e.Undone {
			continue
		}
		if made.Seal, err = hashOf(ctx, w.Ledger(), e.Entry); err != nil {
			return Certificate{}, err
		}
	}
	return made, nil
}

// hashOf is the hash of one entry of the ledger.
func hashOf(ctx context.Context, l *ledger.Ledger, number uint64) (hash string, err error) {
	found := errors.New("found")
	err = l.Entries(ctx, number, func(e ledger.Entry) error {
		hash = e.Hash.String()
		return found
	})
	if errors.Is(err, found) {
		err = nil
	}
	return hash, err
}

// Unprinted are the open pairs whose sheet in force was never put on paper.
func Unprinted(w *workshop.Workshop) []*jobs.Job {
	var open []*jobs.Job
	for _, j := range w.OpenJobs() {
		if j.Copies() == 0 {
			open = append(open, j)
		}
	}
	return open
}
