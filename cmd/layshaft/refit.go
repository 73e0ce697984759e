package main

import (
	"os"

	"layshaft/reconcile"
)

type refitCommand struct {
	dataFlag
	Out string `placeholder:"FILE" help:"Write the new weights as a table; nothing is written when they are not better."`
}

// Run fits the weights of matching to the answers given at the shop's jobs.
func (c *refitCommand) Run(a *app) (err error) {
	s, err := c.open(a)
	if err != nil {
		return err
	}
	defer func() {
		if e := s.Close(); err == nil {
			err = e
		}
	}()
	r, err := reconcile.NewBench(s, a.now).Refit(a.ctx)
	if err != nil {
		return err
	}
	a.out.linef("%s: with the shipped weights %d stand first, mean loss %.4f", counted(r.Rows, "answered line"), r.HitsBefore, r.LossBefore)
	if !r.Adopted {
		a.out.linef("no weights do better on answers held out, so the shipped ones stay")
		return nil
	}
	a.out.linef("refitted, on answers held out: %d stand first, mean loss %.4f", r.HitsAfter, r.LossAfter)
	if c.Out == "" {
		return nil
	}
	f, err := os.Create(c.Out)
	if err != nil {
		return noFile(c.Out, err)
	}
	if err := r.Weights.Write(f); err != nil {
		return err
	}
	return f.Close()
}
