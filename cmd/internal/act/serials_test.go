package act

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema"
)

// R1: a session of any stage, tests and words among them, stores the serials of
// the parts it read; of a lot, and of a part replaced since, it stores none.
func TestR1SessionsOfEveryStageStoreSerials(t *testing.T) {
	const folder = "engines/2024/SK-07"
	const spec = "format: spec/1\nengine: SK-07\nid: 7f3a-91c0-55de\ntitle: an engine\nbuild: 1\ngeometry: {rotors: 2}\nparts:\n" +
		"  rotor/1: {serial: R-1177}\n  rotor/1/gear: {serial: G-4}\n  rotor/2: {serial: R-1181}\n  shaft: {serial: 00230}\n  flywheel: {serial: F-9}\n  rotor/1/apex/1: {lot: B-14}\n"
	const replaced = "format: change/1\nengine: SK-07\nbuild: 1\ndate: 2024-04-01\nkind: replacement\nby: KM\nwhat: rotor 2 replaced\ntouches: [rotor/2]\n"
	const readings = "readings:\n  crack_test: {shaft: clear, flywheel: clear, rotor/1/gear: clear}\n  apex_seal_state: {rotor/1/apex/1: whole}\n" +
		"  rotor_width: {unit: mm, rotor/1/corner/1: 77.861, rotor/2/corner/1: 77.863}\n  end_float: {unit: mm, engine: 0.06}\n"
	for _, stage := range schema.Stages {
		name := "measurements/2024-03-02-" + stage.Name + "-KM.yaml"
		text := fmt.Sprintf("format: measurements/1\nengine: SK-07\nbuild: 1\nstage: %s\ndate: 2024-03-02\nby: KM\n%s", stage.Name, readings)
		e, problems := record.Load(folder, []record.File{{Path: folder + "/spec.yaml", Data: []byte(spec)}, {Path: folder + "/" + name, Data: []byte(text)}, {Path: folder + "/changes/a.yaml", Data: []byte(replaced)}})
		require.Empty(t, problems, stage.Name)
		filled, err := withSerials(e, e.Sessions[0])
		require.NoError(t, err, stage.Name)
		require.Equal(t, text+"parts: {shaft: \"00230\", flywheel: F-9, rotor/1/gear: G-4, rotor/1: R-1177}\n", string(filled), stage.Name)
	}
}
