package jobs

import (
	"fmt"
	"slices"
)

// What happens to no job: gauges, their studies, the answers to signals. What lies beside the chain in private
// records changes nothing here.

func foldNothing[B Body](*State, B, Event) error { return nil }

func (s *State) foldCalibrated(b Calibrated, e Event) error {
	r := s.Gauges[b.Gauge]
	r.Calibrations = append(slices.Clip(r.Calibrations), CalibrationRecord{e.signature(), e.Entry, b})
	s.Gauges[b.Gauge] = r
	return nil
}

func (s *State) foldStudied(b Studied, e Event) error {
	study, ok := s.Studies[b.Study]
	if !ok {
		return fmt.Errorf("entry %d: there is no study %q", e.Entry, b.Study)
	}
	by := e.signature()
	study.Adopted = &by
	s.Studies[b.Study] = study
	r := s.Gauges[b.Gauge]
	r.Studies = append(slices.Clip(r.Studies), StudyRecord{by, e.Entry, b})
	s.Gauges[b.Gauge] = r
	return nil
}

func (s *State) foldStudyPlanned(b StudyPlanned, e Event) error {
	if _, twice := s.Studies[b.Study]; twice {
		return fmt.Errorf("entry %d plans study %q a second time", e.Entry, b.Study)
	}
	s.Studies[b.Study] = GaugeStudy{StudyPlanned: b, Planned: e.signature()}
	return nil
}

func (s *State) foldStudyRead(b StudyRead, e Event) error {
	study, ok := s.Studies[b.Study]
	if !ok || b.From < 0 || b.From > len(study.Values) || b.From+len(b.Values) > len(study.Order) {
		return fmt.Errorf("entry %d: readings from %d on do not fit study %q", e.Entry, b.From, b.Study)
	}
	study.Values = append(slices.Clone(study.Values[:b.From]), b.Values...)
	study.Readers = append(slices.Clip(study.Readers), e.signature())
	s.Studies[b.Study] = study
	return nil
}

func (s *State) foldAnswered(b Answered, e Event) error {
	s.Answers[b.Signal] = Answer{e.signature(), b}
	return nil
}
