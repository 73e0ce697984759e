//go:build ignore

// Command pull keeps a copy of a shop's shortages. It needs a token with the
// scope SHORTAGES_READ and remembers in a file where it stands, so that each run
// asks only for what has changed:
//
//	LAYSHAFT_TOKEN=lay_... go run pull.go http://127.0.0.1:8480 state.json
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log"
	"net/http"
	"os"
)

const query = `query Pull($since: String!) {
  shortages(changedSince: $since, first: 200) {
    edges { node { key gone quantity unit state neededBy supplierNumber } }
    pageInfo { endCursor hasNextPage }
  }
}`

type shortage struct {
	Key      string  `json:"key"`
	Gone     bool    `json:"gone"`
	Quantity int     `json:"quantity"`
	Unit     string  `json:"unit"`
	State    string  `json:"state"`
	NeededBy *string `json:"neededBy"`
	Number   *string `json:"supplierNumber"`
}

type state struct {
	Cursor    string
	Shortages map[string]shortage
}

func main() {
	log.SetFlags(0)
	if len(os.Args) != 3 {
		log.Fatal("usage: pull address file")
	}
	s := state{Shortages: map[string]shortage{}}
	if b, err := os.ReadFile(os.Args[2]); err == nil {
		if err := json.Unmarshal(b, &s); err != nil {
			log.Fatal(err)
		}
	}
	for more := true; more; {
		var err error
		if more, err = s.page(os.Args[1]); err != nil {
			log.Fatal(err)
		}
	}
	b, err := json.Marshal(s)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(os.Args[2], b, 0o600); err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(s.Shortages), "shortages")
}

// page takes one page in; it reports whether there is more.
func (s *state) page(address string) (bool, error) {
	body, err := json.Marshal(map[string]any{"query": query, "operationName": "Pull", "variables": map[string]string{"since": s.Cursor}})
	if err != nil {
		return false, err
	}
	req, err := http.NewRequest(http.MethodPost, address+"/graphql", bytes.NewReader(body))
	if err != nil {
		return false, err
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Authorization", "Bearer "+os.Getenv("LAYSHAFT_TOKEN"))
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return false, err
	}
	defer resp.Body.Close()
	var a struct {
		Data struct {
			Shortages struct {
				Edges    []struct{ Node shortage }
				PageInfo struct {
					EndCursor   string
					HasNextPage bool
				}
			}
		}
		Errors []struct{ Message string }
	}
	if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
		return false, fmt.Errorf("%s: %w", resp.Status, err)
	}
	if len(a.Errors) > 0 {
		return false, fmt.Errorf("%s", a.Errors[0].Message)
	}
	for _, e := range a.Data.Shortages.Edges {
		if e.Node.Gone {
			delete(s.Shortages, e.Node.Key)
		} else {
			s.Shortages[e.Node.Key] = e.Node
		}
	}
	s.Cursor = a.Data.Shortages.PageInfo.EndCursor
	return a.Data.Shortages.PageInfo.HasNextPage, nil
}
