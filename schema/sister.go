package schema

// ownToOne tells which keys of a spec belong to one engine alone, and why. A
// sister engine, built like another, takes over all the rest. "*" stands for
// any position.
var ownToOne = map[string]string{
	"engine":                          "a number is permanent",
	"id":                              "tells two engines of one number apart",
	"title":                           "each engine has its own",
	"customer":                        "each engine has its own",
	"build":                           "a new engine begins with build 1",
	"parts.*.serial":                  "of the part fitted there",
	"parts.*.lot":                     "of the part fitted there",
	"parts.*.origin":                  "of the part fitted there",
	"parts.*.hours_at_fitting":        "of the part fitted there",
	"parts.*.engine_hours_at_fitting": "of the part fitted there",
	"ignition.map_hash":               "of the map delivered with it",
	"balance.holes":                   "drilled into its own parts",
	"operating.sent":                  "what its customer was told, and when",
	"operating.receipt":               "what its customer was told, and when",
	"photos":                          "they show its own parts",
}

// OwnToOne tells whether a key of a spec belongs to one engine alone, so that a
// sister engine does not take it over, and why. The path is dotted, with "*"
// for a position: parts.*.serial.
func OwnToOne(path string) (why string, own bool) {
	why, own = ownToOne[path]
	return why, own
}
