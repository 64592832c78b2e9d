package store

import (
	"context"
	"fmt"

	"isthmus/competency"
)

// AuditReport is the outcome of verifying every chain, the platform's (with the empty programme) first.
type AuditReport struct {
	Chains []ChainReport
}

// Sound reports whether no chain has a fault and every signed case, decision and report is as it was sealed.
func (r AuditReport) Sound() bool {
	for _, chain := range r.Chains {
		if chain.Fault != nil || len(chain.Signatures.Faults)+len(chain.Decisions.Faults)+len(chain.Reports) > 0 {
			return false
		}
	}
	return true
}

// ChainReport is the outcome for one programme.
type ChainReport struct {
	Programme competency.ProgrammeID
	Name      string      // the programme's; empty for the platform
	Entries   int64       // how many were sound, from the first on
	Head      string      // hash of the last sound entry: kept elsewhere it proves the chain up to it
	Fault     *AuditFault // the first thing wrong; nil when there is none
	// Signatures are those on the programme's cases, compared with their seals in the chain.
	Signatures SignatureReport
	Decisions  DecisionReport // compared with their seals likewise
	Reports    []ReportFault  // finished ones that are not as they were sealed
}

// SignatureReport is the outcome for the signatures of one programme.
type SignatureReport struct {
	Sound  int
	Faults []SignatureFault // by case; one without a case is a signature that is gone
}

// AuditFault is a broken place in a chain.
type AuditFault struct {
	Seq  int64
	What string
}

// verifyBatch is how many entries are in memory at a time.
const verifyBatch = 1000

// VerifyAudit walks every chain on one view of the data and finds the first entry of each that was changed, removed or added by
// anything but a Write, a removed tail too. A fault is no error.
func (s *Store) VerifyAudit(ctx context.Context) (AuditReport, error) {
	var report AuditReport
	err := s.Read(ctx, func(tx *Tx) error {
		chains, err := tx.chains()
		if err != nil {
			return err
		}
		for i := range chains {
			if err := tx.verifyChain(&chains[i]); err != nil {
				return err
			}
			if err := tx.verifySignatures(&chains[i]); err != nil {
				return err
			}
			if err := tx.verifyDecisions(&chains[i]); err != nil {
				return err
			}
			if err := tx.verifyReports(&chains[i]); err != nil {
				return err
			}
		}
		report.Chains = chains
		return nil
	})
	return report, err
}

// chains lists every programme that has entries, a head, or neither yet.
func (tx *Tx) chains() ([]ChainReport, error) {
	var rows []struct {
		ProgrammeID competency.ProgrammeID
		Name        *string
	}
	err := tx.db.Raw(`SELECT c.programme_id, p.name FROM (
			SELECT programme_id FROM audit_heads UNION SELECT programme_id FROM audit_entries UNION SELECT id FROM programmes UNION SELECT ''
		) c LEFT JOIN programmes p ON p.id = c.programme_id ORDER BY c.programme_id`).Scan(&rows).Error
	chains := make([]ChainReport, len(rows))
	for i, row := range rows {
		chains[i].Programme = row.ProgrammeID
		if row.Name != nil {
			chains[i].Name = *row.Name
		}
	}
	return chains, translate("audit chains", err)
}

// verifyChain checks one chain from its first entry to its head.
func (tx *Tx) verifyChain(chain *ChainReport) error {
	for {
		var rows []auditRow
		err := tx.db.Where("programme_id = ? AND seq > ?", chain.Programme, chain.Entries).Order("seq").Limit(verifyBatch).Find(&rows).Error
		if err != nil {
			return translate("audit entries", err)
		}
		for _, row := range rows {
			if what := row.fault(chain); what != "" {
				chain.Fault = &AuditFault{Seq: chain.Entries + 1, What: what}
				return nil
			}
			chain.Entries, chain.Head = row.Seq, row.Hash
		}
		if len(rows) < verifyBatch {
			return tx.verifyHead(chain)
		}
	}
}

// fault says what is wrong with the entry that follows those a chain has proved; empty when nothing is.
func (r auditRow) fault(chain *ChainReport) string {
	switch {
	case r.Seq != chain.Entries+1:
		return fmt.Sprintf("the entry is missing: %d comes next", r.Seq)
	case r.PrevHash != chain.Head:
		return "the entry does not continue the one before"
	case r.Hash != r.chainHash():
		return "the entry was changed after it was written"
	}
	return ""
}

// verifyHead compares the last entry with the head that is kept apart from the entries.
func (tx *Tx) verifyHead(chain *ChainReport) error {
	var heads []auditHeadRow
	if err := tx.db.Where("programme_id = ?", chain.Programme).Limit(1).Find(&heads).Error; err != nil {
		return translate("audit head", err)
	}
	var head auditHeadRow
	if len(heads) == 1 {
		head = heads[0]
	}
	fault := &AuditFault{Seq: chain.Entries + 1}
	switch {
	case head.Seq > chain.Entries:
		fault.What = fmt.Sprintf("the last entries are missing: there were %d", head.Seq)
	case head.Seq < chain.Entries:
		fault.Seq, fault.What = head.Seq+1, fmt.Sprintf("the head of the chain stands at %d: entries were added without it, or it was removed", head.Seq)
	case head.Hash != chain.Head:
		fault.Seq, fault.What = head.Seq, "the head of the chain is not the hash of the last entry: the end was written anew"
	default:
		return nil
	}
	chain.Fault = fault
	return nil
}
