package service

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// spread does the work of 0 to n-1 on all processors. Each place is worked on by one goroutine, once; what they share must not change meanwhile.
func spread(n int, work func(i int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	group.Wait()
}
