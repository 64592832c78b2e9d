package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"isthmus/api/needs"
)

// databases makes databases in one cluster.
type databases struct {
	cluster *cluster
	mu      sync.Mutex // one copy of the pattern at a time
	made    int
}

// pattern is the database that the others are copied from.
const pattern = "pattern"

// openDatabases starts the process's cluster, once, and migrates the pattern.
var openDatabases = sync.OnceValues(func() (*databases, error) {
	started, err := startCluster()
	if err != nil {
		return nil, err
	}
	if _, err := started.admin.Exec("CREATE DATABASE " + pattern); err != nil {
		return nil, err
	}
	return &databases{cluster: started}, migrate(started.address(pattern))
})

// postgresDatabase makes a database, migrated or without tables, that is dropped when the test ends.
func postgresDatabase(tb testing.TB, migrated bool) string {
	tb.Helper()
	d, err := openDatabases()
	if errors.Is(err, errNoServer) {
		needs.Missing(tb, "PostgreSQL", err)
	}
	if err != nil {
		tb.Fatal(err)
	}
	source := "template1"
	if migrated {
		source = pattern
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.made++
	name := fmt.Sprintf("test_%d", d.made)
	if _, err := d.cluster.admin.ExecContext(context.Background(), "CREATE DATABASE "+name+" TEMPLATE "+source); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if _, err := d.cluster.admin.ExecContext(context.Background(), "DROP DATABASE "+name+" WITH (FORCE)"); err != nil {
			tb.Error(err)
		}
	})
	return d.cluster.address(name)
}
