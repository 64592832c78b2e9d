package main

import (
	"cmp"
	"context"
	"fmt"

	"isthmus/api/store"
)

// AuditCmd works on the audit trail.
type AuditCmd struct {
	Verify AuditVerifyCmd `cmd:"" help:"Walk every chain and report the first entry that was changed, removed or added from outside."`
}

// AuditVerifyCmd verifies the audit trail.
type AuditVerifyCmd struct{}

// Help shows an example.
func (AuditVerifyCmd) Help() string {
	return `Every write leaves an entry that carries the hash of the one before it, programme by programme. Prints how many entries are sound and
the hash of the last: kept elsewhere, it proves later that nothing up to it was changed. Every signed case is compared with what was signed;
one that was changed afterwards is named. Exit code 1 when something is wrong.

Example:
  isthmus audit verify`
}

// Run verifies and prints a line a chain.
func (AuditVerifyCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onCurrent(ctx, *config, func(s *store.Store) error {
		report, err := s.VerifyAudit(ctx)
		if err != nil {
			return err
		}
		for _, chain := range report.Chains {
			name := cmp.Or(chain.Name, string(chain.Programme), "the platform")
			fmt.Fprintf(streams.Out, "%s: %d entries sound, head %s\n", name, chain.Entries, chain.Head)
			if chain.Fault != nil {
				fmt.Fprintf(streams.Out, "%s: entry %d: %s\n", name, chain.Fault.Seq, chain.Fault.What)
			}
			printSignatures(streams, name, chain.Signatures)
			for _, fault := range chain.Decisions.Faults {
				fmt.Fprintf(streams.Out, "%s: decision %s: %s\n", name, fault.Decision, fault.What)
			}
			for _, fault := range chain.Reports {
				fmt.Fprintf(streams.Out, "%s: report %s: %s\n", name, fault.Report, fault.What)
			}
		}
		if !report.Sound() {
			return fmt.Errorf("the records were changed from outside the program")
		}
		return nil
	})
}

// printSignatures says how many signatures are sound, and names each case that is not as it was signed.
func printSignatures(streams Streams, programme string, report store.SignatureReport) {
	if report.Sound > 0 {
		fmt.Fprintf(streams.Out, "%s: %d signatures sound\n", programme, report.Sound)
	}
	for _, fault := range report.Faults {
		fmt.Fprintf(streams.Out, "%s: case %s: %s\n", programme, cmp.Or(string(fault.Case), "unknown"), fault.What)
	}
}
