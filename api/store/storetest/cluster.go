package storetest

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"syscall"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// cluster is a private PostgreSQL server that listens on a unix socket in its folder only. It ends with this process.
type cluster struct {
	dir       string // data and socket
	superuser string
	admin     *sql.DB   // to the database postgres
	reaper    io.Closer // open as long as the cluster is wanted; the end of this process closes it
}

// errNoServer says that no PostgreSQL server is installed.
var errNoServer = errors.New("no PostgreSQL server found under /usr/lib/postgresql or on the path")

// startLimit is how long a server may take to answer.
const startLimit = 60 * time.Second

// startCluster makes and starts a cluster from the installed binaries. PostgreSQL refuses to run as root, so root runs it as postgres.
func startCluster() (*cluster, error) {
	bin, err := findServer()
	if err != nil {
		return nil, err
	}
	owner, err := serverOwner()
	if err != nil {
		return nil, err
	}
	c := &cluster{superuser: "isthmus"}
	if c.dir, err = os.MkdirTemp("/tmp", "isthmus-pg-"); err != nil { // short: a socket's path has at most 107 bytes
		return nil, err
	}
	if err := owner.give(c.dir); err != nil {
		return nil, err
	}
	data := filepath.Join(c.dir, "data")
	initdb := owner.command(c.dir, filepath.Join(bin, "initdb"), "-D", data, "-U", c.superuser, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
	if output, err := initdb.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("initdb: %w: %s", err, output)
	}
	var log bytes.Buffer
	server := owner.command(c.dir, filepath.Join(bin, "postgres"), "-D", data, "-k", c.dir, "-c", "listen_addresses=", "-c", "fsync=off",
		"-c", "synchronous_commit=off", "-c", "full_page_writes=off", "-c", "max_connections=200", "-c", "logging_collector=off", "-c", "log_min_messages=fatal")
	server.Stderr = &log
	if err := server.Start(); err != nil {
		return nil, fmt.Errorf("postgres: %w", err)
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Wait() }()
	if c.reaper, err = startReaper(server.Process.Pid, c.dir); err != nil {
		return nil, errors.Join(err, server.Process.Kill())
	}
	if c.admin, err = sql.Open("pgx", c.address("postgres")); err != nil {
		return nil, err
	}
	return c, c.await(ended, &log)
}

// address is the URL of a database of the cluster.
func (c *cluster) address(database string) string {
	query := url.Values{"host": {c.dir}, "user": {c.superuser}, "sslmode": {"disable"}}
	return "postgres:///" + database + "?" + query.Encode()
}

// await waits until the server answers; one that is still starting takes connections only to refuse them.
func (c *cluster) await(ended <-chan error, log *bytes.Buffer) error {
	for deadline := time.Now().Add(startLimit); time.Now().Before(deadline); {
		select {
		case err := <-ended:
			return fmt.Errorf("postgres ended: %w: %s", err, log)
		case <-time.After(20 * time.Millisecond):
		}
		if c.admin.Ping() == nil {
			return nil
		}
	}
	return fmt.Errorf("postgres did not answer within %v", startLimit)
}

// startReaper starts a shell that waits for its input to end, which happens when this process ends in whatever way, and then stops the
// server and removes the folder. A test package needs no clean-up of its own for that.
func startReaper(pid int, dir string) (io.Closer, error) {
	const script = `cat >/dev/null; kill -QUIT "$1" 2>/dev/null; n=0
while [ -e "$2/data/postmaster.pid" ] && [ $n -lt 100 ]; do sleep 0.05; n=$((n+1)); done; rm -rf "$2"`
	reaper := exec.Command("sh", "-c", script, "sh", strconv.Itoa(pid), dir)
	reaper.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // an interrupt from the terminal is for us, not for it
	input, err := reaper.StdinPipe()
	if err != nil {
		return nil, err
	}
	return input, reaper.Start()
}

// findServer gives the folder with the newest installed server's binaries.
func findServer() (string, error) {
	folders, err := filepath.Glob("/usr/lib/postgresql/*/bin/postgres")
	if err != nil {
		return "", err
	}
	version := func(path string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
		return n
	}
	if len(folders) > 0 {
		return filepath.Dir(slices.MaxFunc(folders, func(a, b string) int { return version(a) - version(b) })), nil
	}
	if path, err := exec.LookPath("postgres"); err == nil {
		return filepath.Dir(path), nil
	}
	return "", errNoServer
}

// owner is the user a cluster runs as.
type owner struct {
	credential *syscall.Credential // nil: the user this process runs as
}

// serverOwner is the user postgres for root, and whoever runs this process otherwise.
func serverOwner() (owner, error) {
	if os.Geteuid() != 0 {
		return owner{}, nil
	}
	account, err := user.Lookup("postgres")
	if err != nil {
		return owner{}, fmt.Errorf("%w, nor the user postgres to run it as: %w", errNoServer, err)
	}
	uid, err := strconv.ParseUint(account.Uid, 10, 32)
	if err != nil {
		return owner{}, err
	}
	gid, err := strconv.ParseUint(account.Gid, 10, 32)
	if err != nil {
		return owner{}, err
	}
	return owner{&syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, nil
}

// give makes a folder the owner's.
func (o owner) give(dir string) error {
	if o.credential == nil {
		return nil
	}
	return os.Chown(dir, int(o.credential.Uid), int(o.credential.Gid))
}

// command prepares a program to run as the owner, out of reach of the terminal's interrupts.
func (o owner) command(dir, name string, args ...string) *exec.Cmd {
	command := exec.Command(name, args...)
	command.Dir = dir
	command.Env = []string{"PATH=" + os.Getenv("PATH"), "LC_ALL=C.UTF-8", "TZ=UTC"}
	command.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Credential: o.credential}
	return command
}
