package fetch_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"

	"github.com/acreband/acreband/terrain/fetch"
)

func ExampleClient_Ask() {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "two tiles") }))
	defer server.Close()
	client := fetch.New(fetch.Options{Agent: "acreband/1.0", Allow: []string{server.URL}})
	answer, err := client.Ask(context.Background(), fetch.Question{Address: server.URL + "/search?bbox=1,2,3,4"})
	fmt.Println(string(answer.Body), err)
	_, err = client.Ask(context.Background(), fetch.Question{Address: "http://192.168.0.1/"})
	fmt.Println(err != nil)
	// Output:
	// two tiles <nil>
	// true
}
