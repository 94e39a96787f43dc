package spec

// SizeSystem is a way of numbering sizes.
type SizeSystem string

// The systems. Mondopoint counts millimetres of foot; the others count lengths of last, taken as two of
// their units longer than the foot (ISO 19407).
const (
	Mondopoint   SizeSystem = "mondopoint"
	ParisPoint   SizeSystem = "paris-point"
	English      SizeSystem = "english"
	EnglishChild SizeSystem = "english-child"
	USMen        SizeSystem = "us-men"
	USWomen      SizeSystem = "us-women"
	USChild      SizeSystem = "us-child"
)
