package simulate

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// block is how many trainees a worker takes at a time.
const block = 128

// Run simulates the plan on every processor and sums up. progress, where it is not nil, is told how many trainees are done, from several
// goroutines, at most once a block. The error is strict.Faults about the plan, or the context's when it ends first.
func Run(ctx context.Context, p Plan, progress func(done int)) (Result, error) {
	return run(ctx, p, runtime.GOMAXPROCS(0), progress)
}

// run takes the number of workers, on which nothing depends.
func run(ctx context.Context, p Plan, workers int, progress func(done int)) (Result, error) {
	if faults := p.Validate(); faults.Err() != nil {
		return Result{}, faults
	}
	w := newWorld(p)
	standards := len(p.Standards)
	found := make([]declaration, p.Trainees*standards)
	var next, done atomic.Int64
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			runner := w.runner()
			for ctx.Err() == nil {
				from := int(next.Add(block)) - block
				if from >= p.Trainees {
					return
				}
				to := min(from+block, p.Trainees)
				for trainee := from; trainee < to; trainee++ {
					runner.run(trainee, found[trainee*standards:(trainee+1)*standards])
				}
				if finished := done.Add(int64(to - from)); progress != nil {
					progress(int(finished))
				}
			}
		})
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	return w.sum(found), nil
}
