package book

import "slices"

// Lines go to the store in batches. Lines that wait are held, with all behind
// them, up to a size; beyond it ready lines overtake them, and if the waiting
// ones alone are too many they are refused: memory is bounded whatever the file.
const (
	batchLines = 20_000
	queueBytes = 64 << 20
)

// flush stores what is ready at the head of the queue, now and then.
func (in *intake) flush() error {
	if in.opt.Strict || len(in.queue) == 0 || len(in.queue)%batchLines != 0 && in.bytes < queueBytes {
		return nil
	}
	n := slices.IndexFunc(in.queue, func(a *arrival) bool { return a.missing > 0 })
	if n < 0 {
		n = len(in.queue)
	}
	head := in.queue[:n]
	in.queue = slices.Clone(in.queue[n:])
	if in.bytes >= queueBytes {
		head = append(head, in.overtakers()...)
	}
	if err := in.keep(head); err != nil {
		return err
	}
	if in.bytes >= queueBytes {
		in.turnAway()
	}
	return nil
}

// overtakers takes the ready lines out of the queue.
func (in *intake) overtakers() []*arrival {
	var ready, waiting []*arrival
	for _, a := range in.queue {
		if a.missing > 0 {
			waiting = append(waiting, a)
		} else {
			ready = append(ready, a)
		}
	}
	in.queue = waiting
	return ready
}

// turnAway refuses all that waits.
func (in *intake) turnAway() {
	for _, a := range in.queue {
		in.refuse(a.number, in.lack(&a.line))
	}
	in.queue, in.bytes = nil, 0
	clear(in.needs)
}

// keep writes lines to the store, a batch in each transaction; all of them in
// one when the import is strict.
func (in *intake) keep(ready []*arrival) error {
	size := batchLines
	if in.opt.Strict {
		size = max(len(ready), 1)
	}
	for batch := range slices.Chunk(ready, size) {
		lines := make([]Line, len(batch))
		for i, a := range batch {
			lines[i] = a.line
			in.bytes -= a.size
		}
		added, err := in.store.Append(in.ctx, lines)
		if err != nil {
			return err
		}
		in.report.Added += added
		in.report.Skipped += len(lines) - added
	}
	return nil
}

// finish refuses what waits in vain and stores the rest.
func (in *intake) finish() (Report, error) {
	ready := in.overtakers()
	in.turnAway()
	slices.SortStableFunc(in.report.Refused, func(a, b Refusal) int { return a.Line - b.Line })
	if in.opt.Strict && len(in.report.Refused) > 0 {
		in.report.Added, in.report.Skipped = 0, 0
		return in.report, nil
	}
	err := in.keep(ready)
	return in.report, err
}

// lack says what a line waited for in vain.
func (in *intake) lack(l *Line) *Fault {
	if l.Tank != "" && l.Kind != KindTank && !in.tanks[Key(l.Tank)] {
		return faultf("tank", "tank %q is not declared in the book or in this file; declare it with a tank line first", clip(l.Tank))
	}
	return faultf("replaces", "replaces %q names no line of the book or of this file", clip(l.Replaces))
}
