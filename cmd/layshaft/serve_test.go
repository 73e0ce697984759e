package main

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"
)

// demoServer runs "layshaft demo" on a free port and returns its address.
func demoServer(t *testing.T, args ...string) string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	done := make(chan exitStatus, 1)
	go func() {
		status := run(ctx, append([]string{"demo", "--listen", "127.0.0.1:0"}, args...), strings.NewReader(""), in, io.Discard, nil)
		_ = in.Close()
		done <- status
	}()
	t.Cleanup(func() {
		stop()
		select {
		case status := <-done:
			if status != exitOK {
				t.Errorf("demo ended with status %d", status)
			}
		case <-time.After(30 * time.Second):
			t.Error("demo did not end after its context")
		}
	})
	address := regexp.MustCompile(`pages\s+(http://\S+)/`)
	var said strings.Builder
	buf := make([]byte, 4096)
	for {
		n, err := out.Read(buf)
		said.Write(buf[:n])
		if m := address.FindStringSubmatch(said.String()); m != nil {
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return m[1]
		}
		if err != nil {
			t.Fatalf("demo said %q and ended: %v", said.String(), err)
		}
	}
}

func ask(t *testing.T, address, query string, data any) {
	t.Helper()
	body, err := json.Marshal(map[string]string{"query": query})
	if err != nil {
		t.Fatal(err)
	}
	resp, err := http.Post(address+"/graphql", "application/json", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var answer struct {
		Data   json.RawMessage
		Errors []struct{ Message string }
	}
	if err := json.NewDecoder(resp.Body).Decode(&answer); err != nil || len(answer.Errors) > 0 {
		t.Fatalf("%s: %v %v", query, err, answer.Errors)
	}
	if err := json.Unmarshal(answer.Data, data); err != nil {
		t.Fatal(err)
	}
}

// TestDemoAnswers does the main job over the embedded store as a stranger would:
// start, look at the classic job, paste a list, read the findings.
func TestDemoAnswers(t *testing.T) {
	address := demoServer(t)
	var job struct {
		Job struct {
			Report struct {
				Findings []struct{ Code, Position string }
			}
		}
	}
	ask(t, address, `{job(key:"7203"){report{findings{code position}}}}`, &job)
	found := map[string]bool{}
	for _, f := range job.Job.Report.Findings {
		found[f.Code+" "+f.Position] = true
	}
	for _, want := range []string{"size-mismatch pilot-bearing", "bond-split cs-gear-5th", "one-time-reused main-nut",
		"one-time-missing cs-nut", "one-time-missing input-locating-ring", "select-fit-open main-shim"} {
		if !found[want] {
			t.Errorf("the classic job does not report %q", want)
		}
	}
	var stored struct {
		PutKitList struct {
			UserErrors []struct{ Message string }
			Job        struct {
				Report struct{ Lines []struct{ Outcome string } }
			}
		}
	}
	ask(t, address, `mutation{putKitList(edit:{requestId:"t1",job:"7203"},list:{name:"phone",title:"phone",text:"1x TB-1031 spigot ndl cage\nsome words"}){
		userErrors{message} job{report{lines{outcome}}}}}`, &stored)
	if len(stored.PutKitList.UserErrors) > 0 || len(stored.PutKitList.Job.Report.Lines) == 0 {
		t.Errorf("pasting a list: %+v", stored)
	}
	resp, err := http.Get(address + "/")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	page, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK || !strings.Contains(string(page), "7203") {
		t.Errorf("the list of jobs: %d %v", resp.StatusCode, err)
	}
}

// TestDemoKeepsItsFolder: a data folder keeps what was done, and a second
// process is refused while one uses it.
func TestDemoKeepsItsFolder(t *testing.T) {
	dir := t.TempDir()
	t.Run("first", func(t *testing.T) {
		address := demoServer(t, "--data", dir)
		var done struct {
			RemoveJobRecords struct{ UserErrors []struct{ Message string } }
		}
		ask(t, address, `mutation{removeJobRecords(edit:{requestId:"t1",job:"7206"},records:[{table:"jobs",name:""}]){userErrors{message}}}`, &done)
		var errs strings.Builder
		if status := run(context.Background(), []string{"export", "--data", dir, t.TempDir() + "/p"}, nil, io.Discard, &errs, nil); status == exitOK {
			t.Error("a second process opened the same folder")
		} else if !strings.Contains(errs.String(), "another") {
			t.Errorf("the refusal is not clear: %s", errs.String())
		}
	})
	t.Run("again", func(t *testing.T) {
		address := demoServer(t, "--data", dir)
		var shop struct{ Shop struct{ Jobs int } }
		ask(t, address, `{shop{jobs}}`, &shop)
		if shop.Shop.Jobs != 6 {
			t.Errorf("%d jobs after a restart, want 6", shop.Shop.Jobs)
		}
	})
}
