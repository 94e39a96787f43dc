package jobs

import (
	"errors"
	"strings"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// OpenOrder is the entry that makes an order a job of a number. customer is the key of the private record with whose
// it is; passed are the findings of its review.
func OpenOrder(s *shop.Shop, o spec.Order, number int, customer string, passed []Passed, at time.Time) (Opened, error) {
	sheet, err := NewSheet(s, number, 1, at, o.Spec)
	if err != nil {
		return Opened{}, err
	}
	sheet.Reference, sheet.Passed = o.Reference, passed
	return Opened{Sheet: sheet, Customer: customer, Wanted: o.WantedBy}, nil
}

// Pass checks that every finding has a reason to pass it, and that none of them stops the order.
func Pass(findings []spec.Finding, reasons map[string]string, by string) ([]Passed, error) {
	var passed []Passed
	var faults []error
	for _, f := range findings {
		where := strings.Join(f.Fields, ",")
		if f.Severity == spec.CannotBuild {
			faults = append(faults, &message.Fault{Kind: message.Refused, Key: "order.cannot-build", Where: where, Args: message.Args{"finding": f.Text(message.Default)}})
			continue
		}
		reason := strings.TrimSpace(reasons[f.ID()])
		if err := NeedText("reason", reason); err != nil {
			faults = append(faults, &message.Fault{Kind: message.Refused, Key: "order.unanswered", Where: where, Args: message.Args{"finding": f.Text(message.Default), "id": f.ID()}})
			continue
		}
		f.Settle = nil // what was not accepted need not be kept
		passed = append(passed, Passed{Finding: f, By: by, Reason: reason})
	}
	return passed, errors.Join(faults...)
}
