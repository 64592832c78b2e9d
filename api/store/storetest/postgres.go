package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"sync"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// databases makes databases in one cluster.
type databases struct {
	cluster *cluster
	admin   *sql.DB
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
	d := &databases{cluster: started}
	d.admin, err = sql.Open("pgx", d.address("postgres"))
	if err != nil {
		return nil, err
	}
	if _, err := d.admin.Exec("CREATE DATABASE " + pattern); err != nil {
		return nil, err
	}
	return d, migrate(d.address(pattern))
})

// address is the URL of a database of the cluster.
func (d *databases) address(name string) string {
	query := url.Values{"host": {d.cluster.dir}, "user": {d.cluster.superuser}, "sslmode": {"disable"}}
	return "postgres:///" + name + "?" + query.Encode()
}

// postgresDatabase makes a database, migrated or without tables, that is dropped when the test ends.
func postgresDatabase(tb testing.TB, migrated bool) string {
	tb.Helper()
	d, err := openDatabases()
	if errors.Is(err, errNoServer) {
		missing(tb, "PostgreSQL", err)
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
	if _, err := d.admin.ExecContext(context.Background(), "CREATE DATABASE "+name+" TEMPLATE "+source); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if _, err := d.admin.ExecContext(context.Background(), "DROP DATABASE "+name+" WITH (FORCE)"); err != nil {
			tb.Error(err)
		}
	})
	return d.address(name)
}
