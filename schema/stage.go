package schema

// Stage is one step of the work on an engine, in which readings are taken.
type Stage struct {
	Name    string
	Title   string
	AsBuilt bool // its readings describe the engine as it will run, not parts as they came (R1)
}

// Stages lists the stages in working order. A rebuild begins with the first
// three; a first build begins at incoming. Common practice, no source.
var Stages = []Stage{
	{Name: "as-received", Title: "as received, closed"},
	{Name: "as-found", Title: "as found, open and dirty"},
	{Name: "after-cleaning", Title: "after cleaning", AsBuilt: true},
	{Name: "incoming", Title: "incoming parts"},
	{Name: "crack-test", Title: "crack test", AsBuilt: true},
	{Name: "machining", Title: "machining", AsBuilt: true},
	{Name: "mock-up", Title: "mock-up: fits, filing, port check", AsBuilt: true},
	{Name: "balance", Title: "weighing and balancing", AsBuilt: true},
	{Name: "final-clean", Title: "final cleaning", AsBuilt: true},
	{Name: "assembly", Title: "final assembly", AsBuilt: true},
	{Name: "leak-test", Title: "leak test", AsBuilt: true},
	{Name: "priming", Title: "priming", AsBuilt: true},
	{Name: "cranking", Title: "cranking", AsBuilt: true},
	{Name: "first-start", Title: "first start", AsBuilt: true},
	{Name: "running-in", Title: "running in", AsBuilt: true},
	{Name: "dyno", Title: "dyno", AsBuilt: true},
	{Name: "delivery", Title: "delivery", AsBuilt: true},
	{Name: "running", Title: "in the customer's hands"},
}

// FindStage returns the stage of that name and its place in working order, or
// nil and -1.
func FindStage(name string) (*Stage, int) {
	for i := range Stages {
		if Stages[i].Name == name {
			return &Stages[i], i
		}
	}
	return nil, -1
}

func stageNames() []string {
	names := make([]string, len(Stages))
	for i, s := range Stages {
		names[i] = s.Name
	}
	return names
}

// ChangeKind is one kind of change.
type ChangeKind struct {
	Name  string
	Title string
	Voids bool // readings taken before it no longer count for what it touches (R1)
}

// ChangeKinds lists the kinds of change. Common practice, no source.
var ChangeKinds = []ChangeKind{
	{"machining", "material was removed or a surface worked", true},
	{"replacement", "a part was replaced by another", true},
	{"adjustment", "a setting, shim, spacer or torque was altered", false},
	{"inspection", "looked at, measured or judged without altering it", false},
	{"test", "run on the dyno, pressure-tested or the like", false},
	{"map", "the map, limiter, fuel or ignition setting was altered", false},
	{"concession", "out of band, undecided or unmeasured, and accepted all the same", false},
	{"event", "something that happened to the engine in use", false},
	{"repair", "mended without being replaced", true},
	{"work-by-others", "work done outside the shop", true},
	{"storage", "laid up, with how it was kept", false},
	{"delivery", "handed over to the customer: closes the build", false},
	{"teardown", "taken apart", false},
	{"found-different", "found different from what was delivered", false},
	{"claim", "a warranty claim", false},
	{"note", "anything else worth knowing", false},
}

// FindChangeKind returns the kind of that name, or nil.
func FindChangeKind(name string) *ChangeKind {
	for i := range ChangeKinds {
		if ChangeKinds[i].Name == name {
			return &ChangeKinds[i]
		}
	}
	return nil
}

func changeKindNames() []string {
	names := make([]string, len(ChangeKinds))
	for i, k := range ChangeKinds {
		names[i] = k.Name
	}
	return names
}
