package spec

// Review says everything that must be settled before anybody promises the pair (ISO 9001:2015, 8.2.3),
// gravest first, in the order of the rules.
func Review(o Order, c *Catalogue, d Dates) []Finding { return nil }
