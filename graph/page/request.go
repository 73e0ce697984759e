package page

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
)

type requestKey struct{}

// withRequest gives a page the id that all its forms carry.
func withRequest(ctx context.Context) context.Context {
	return context.WithValue(ctx, requestKey{}, rand.Text())
}

func pageRequest(ctx context.Context) string {
	id, _ := ctx.Value(requestKey{}).(string)
	return id
}

// requestID names what a form asks for: the page's id and a digest of the form.
// A form sent twice is stored once; two forms of one page are two requests.
func requestID(r *http.Request) string {
	id := r.PostFormValue("request")
	if id == "" {
		return rand.Text()
	}
	sum := sha256.Sum256([]byte(r.URL.Path + "?" + r.PostForm.Encode()))
	return id + "-" + hex.EncodeToString(sum[:8])
}
