package reconcile

import (
	"context"
	"slices"
	"strings"

	"layshaft/catalog"
	"layshaft/catalog/quantity"
)

// TableProposal holds what a bench says against the catalogue.
const TableProposal catalog.Table = "proposals"

// Asks says what a proposal wants changed.
type Asks string

const (
	AsksNotHere Asks = "not-here"  // the part does not fit at the position: its fitment is doubted
	AsksFits    Asks = "fits-here" // it fits, and the catalogue does not say so
	AsksSize    Asks = "size"      // a property of the part reads otherwise
	AsksWords   Asks = "words"     // something else; the curator edits by hand
)

// ProposalState says what became of a proposal.
type ProposalState string

const (
	ProposalOpen     ProposalState = "open"
	ProposalAccepted ProposalState = "accepted"
	ProposalRefused  ProposalState = "refused"
)

// maxProposal bounds the words of a proposal, in bytes.
const maxProposal = 4000

// Proposal is a change of the catalogue that somebody at a job asks for. Who and
// when are those of its stamp.
type Proposal struct {
	Job  JobID  `json:"job" cbor:"1,keyasint,omitempty"`
	ID   string `json:"id" cbor:"2,keyasint,omitempty"` // unique in the job
	Asks Asks   `json:"asks" cbor:"3,keyasint,omitempty"`
	// Variant of the job when it was asked; not-here and fits-here need it.
	Variant  catalog.VariantID  `json:"variant,omitempty" cbor:"4,keyasint,omitempty"`
	Position catalog.PositionID `json:"position,omitempty" cbor:"5,keyasint,omitempty"`
	Part     catalog.PartID     `json:"part,omitempty" cbor:"6,keyasint,omitempty"`
	// Name, At and Value of the property that reads otherwise, for a size.
	Name  catalog.AttributeKey `json:"attribute,omitempty" cbor:"7,keyasint,omitempty"`
	At    string               `json:"at,omitempty" cbor:"8,keyasint,omitempty"`
	Value catalog.Value        `json:"value,omitzero" cbor:"9,keyasint,omitzero"`
	// Text is what was seen, in the bench's words.
	Text  string        `json:"text" cbor:"10,keyasint,omitempty"`
	State ProposalState `json:"state" cbor:"11,keyasint,omitempty"`
	// Reason of whoever settled it, and the edit of the catalogue that it became.
	Reason string `json:"reason,omitempty" cbor:"12,keyasint,omitempty"`
	Edit   string `json:"edit,omitempty" cbor:"13,keyasint,omitempty"`
	// AskedBy and AskedOn are of the first edit; the stamp is of the last.
	AskedBy string        `json:"askedBy,omitempty" cbor:"14,keyasint,omitempty"`
	AskedOn quantity.Date `json:"askedOn,omitzero" cbor:"15,keyasint,omitzero"`
	catalog.Stamp
}

// Table and Key implement catalog.Record.
func (p *Proposal) Table() catalog.Table { return TableProposal }
func (p *Proposal) Key() string          { return string(p.Job) + "/" + p.ID }

func validProposal(ix *catalog.Index, place string, p *Proposal) error {
	if strings.TrimSpace(p.Text) == "" || len(p.Text) > maxProposal {
		return catalog.Invalid(place+" text", "Say in up to 4000 bytes what was seen", "%d bytes of words", len(p.Text))
	}
	if p.State == ProposalRefused && strings.TrimSpace(p.Reason) == "" {
		return catalog.Invalid(place+" reason", "Say why, for those who asked", "a refusal without a reason")
	}
	if _, ok := ix.Part(p.Part); !ok && (p.Part != "" || p.Asks != AsksWords) {
		return catalog.Invalid(place+" part", "Choose a part of the catalogue", "no part %q", p.Part)
	}
	switch p.Asks {
	case AsksNotHere, AsksFits:
		v, ok := ix.Variant(p.Variant)
		if !ok {
			return catalog.Invalid(place+" variant", "Settle the variant of the job first", "the variant is not known")
		}
		if _, ok := ix.Position(v.Family, p.Position); !ok {
			return catalog.Invalid(place+" position", "Choose a position of the family", "no position %q", p.Position)
		}
		return nil
	case AsksSize:
		if _, ok := ix.AttributeDef(p.Name); !ok {
			return catalog.Invalid(place+" attribute", "Choose a property that the catalogue declares", "no property %q", p.Name)
		}
		if p.Value.Kind == "" {
			return catalog.Invalid(place+" value", "Give what was measured, with its unit", "no value")
		}
		return nil
	case AsksWords:
		return nil
	}
	return catalog.Invalid(place+" asks", "Use not-here, fits-here, size or words", "no request %q", p.Asks)
}

// Records is what accepting the proposal puts into the catalogue; none for
// words. What a bench has seen is confirmed here; what it speaks against stays,
// doubted.
func (p *Proposal) Records(ix *catalog.Index) ([]catalog.Record, error) {
	source := "job " + string(p.Job) + ": " + p.Text
	if len(source) > 400 {
		source = strings.ToValidUTF8(source[:400], "")
	}
	seen := catalog.Provenance{Standing: catalog.Confirmed, Source: source}
	switch p.Asks {
	case AsksNotHere:
		f := p.fitment(ix)
		if f == nil {
			return nil, catalog.Invalid("proposal", "Refuse it, or accept it as words", "the catalogue does not say that %s fits at %s any more", p.Part, p.Position)
		}
		doubted := *f
		doubted.Stamp = catalog.Stamp{}
		doubted.Provenance = catalog.Provenance{Standing: catalog.Doubted, Source: source}
		return []catalog.Record{&doubted}, nil
	case AsksFits:
		fits := catalog.Fitment{Variant: p.Variant, Position: p.Position, Part: p.Part}
		if f := p.fitment(ix); f != nil {
			fits = *f
		}
		fits.Provenance, fits.Stamp = seen, catalog.Stamp{}
		return []catalog.Record{&fits}, nil
	case AsksSize:
		old, ok := ix.Part(p.Part)
		if !ok {
			return nil, catalog.NotFound(catalog.TablePart, string(p.Part))
		}
		part := *old
		part.Stamp = catalog.Stamp{}
		part.Attributes = slices.DeleteFunc(slices.Clone(old.Attributes), func(a *catalog.Attribute) bool { return a.Name == p.Name && a.At == p.At })
		part.Attributes = append(part.Attributes, &catalog.Attribute{Name: p.Name, At: p.At, Value: p.Value, Provenance: seen})
		return []catalog.Record{&part}, nil
	}
	return nil, nil
}

// fitment that the proposal speaks of; nil when the catalogue has none.
func (p *Proposal) fitment(ix *catalog.Index) *catalog.Fitment {
	for _, f := range ix.FitsOf(p.Part) {
		if f.Variant == p.Variant && f.Position == p.Position {
			return f
		}
	}
	return nil
}

// Proposals of all jobs, or of one, in the order of jobs; in one state, or in
// every one.
func (b *Bench) Proposals(ctx context.Context, job JobID, state ProposalState) ([]*Proposal, error) {
	heads, err := b.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var out []*Proposal
	for _, h := range heads {
		if job != "" && h.ID != job {
			continue
		}
		j, err := b.repo.Job(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		for _, p := range j.Proposals {
			if state == "" || p.State == state {
				out = append(out, p)
			}
		}
	}
	return out, nil
}

// Proposal of a job; CodeNotFound when absent. Whoever curates may read it.
func (b *Bench) Proposal(ctx context.Context, job JobID, id string) (*Proposal, error) {
	if err := b.gate.Check(ctx, catalog.ScopeJobsRead, catalog.ScopeCurate); err != nil {
		return nil, err
	}
	r, err := b.repo.Record(ctx, TableProposal, string(job)+"/"+id)
	if err != nil {
		return nil, err
	}
	p, ok := r.(*Proposal)
	if !ok {
		return nil, catalog.NotFound(TableProposal, string(job)+"/"+id)
	}
	return p, nil
}

// SettleProposal stores what became of a proposal. It is for curators: what it
// says of the catalogue is done there first.
func (b *Bench) SettleProposal(ctx context.Context, p *Proposal, seen uint64, request, who string) (*catalog.Edit, error) {
	if err := b.gate.Check(ctx, catalog.ScopeCurate); err != nil {
		return nil, err
	}
	ref := catalog.Ref{Table: TableProposal, Key: p.Key()}
	return b.store(ctx, p.Job, catalog.Change{Request: request, Who: who, Why: p.Reason, Put: []catalog.Record{p},
		Expect: map[catalog.Ref]uint64{ref: seen}})
}
