package rounds

import (
	"fmt"
	"testing"
)

func TestUndeclaredDosesAreNamed(t *testing.T) {
	lines := []string{at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`)}
	for day := -10.0; day < 0; day += 2 {
		lines = append(lines, at(day, `"kind":"dose","tank":"quay","substance":"soda stock","amount":12,"unit":"mL"`))
	}
	rows := of(sheetOn(t, onDay(0.1), lines...), HabitFound)
	if len(rows) != 1 || rows[0].Title != "12 mL of soda stock every 2 days, quay: no routine says so" || fmt.Sprint(rows[0].Action) != fmt.Sprint(Action{Do: "routine", Tank: "quay", Substance: "soda stock", Amount: "12", Unit: "mL", EveryDays: "2"}) {
		t.Errorf("%+v", rows)
	}
}
