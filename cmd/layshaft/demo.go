package main

import (
	"errors"
	"fmt"
	"os"

	"layshaft/catalog"
	"layshaft/data/demo"
	"layshaft/data/store"
	"layshaft/reconcile"
)

type demoCommand struct {
	Listen string `default:"127.0.0.1:8480" placeholder:"ADDR" help:"Address of this machine to answer on."`
	Data   string `placeholder:"DIR" help:"Data folder to keep the shop in; without it a folder is made and removed again."`
}

// Run serves the invented shop until it is interrupted. A data folder that
// already holds a shop is served as it is.
func (c *demoCommand) Run(a *app) (err error) {
	if err := loopbackOnly(c.Listen); err != nil {
		return err
	}
	folder := dataFlag{Data: c.Data}
	if c.Data == "" {
		if folder.Data, err = os.MkdirTemp("", "layshaft-demo-"); err != nil {
			return err
		}
		folder.scratch = true
		defer func() { err = errors.Join(err, os.RemoveAll(folder.Data)) }()
	}
	s, err := folder.open(a)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := fillDemo(a, s); err != nil {
		return err
	}
	a.out.linef("an invented shop: nothing in it is for use on a real gearbox")
	return (&host{app: a, store: s, log: logger(a.errs.w, "warn", false)}).serve(c.Listen, "")
}

// fillDemo puts the invented shop into an empty store.
func fillDemo(a *app, s *store.Store) error {
	if s.Index().Rev() != 0 {
		return nil
	}
	rows, err := demo.Catalogue()
	if err != nil {
		return err
	}
	_, problems, err := catalog.NewCurator(s, a.now).Import(a.ctx, rows, "demo catalogue", "demo", "the invented shop")
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return fmt.Errorf("the invented shop has %d problems, the first: %s", len(problems), problems[0].Reason)
	}
	jobs, err := demo.Jobs()
	if err != nil {
		return err
	}
	bench := reconcile.NewBench(s, a.now)
	for _, j := range jobs {
		ch := catalog.Change{Request: "demo job " + string(j.ID), Who: "demo", Why: "the invented shop", Put: j.Records()}
		if _, err := bench.Change(a.ctx, j.ID, ch); err != nil {
			return fmt.Errorf("demo job %s: %w", j.ID, err)
		}
	}
	// The feed is complete before anybody can pull it.
	return reconcile.NewKeeper(s, bench, a.now).Step(a.ctx)
}
