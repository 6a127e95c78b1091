package page

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
)

func inTurn(tab, kind string, n int) *http.Request {
	r := httptest.NewRequest("POST", "/", nil)
	r.Header.Set(tabHeader, tab)
	r.Header.Set(kindHeader, kind)
	r.Header.Set(turnHeader, fmt.Sprint(n))
	return r
}

func TestNewerStopsOlder(t *testing.T) {
	var ts turns
	one, done1, ok := ts.begin(inTurn("a", "match", 1))
	if !ok {
		t.Fatal("the first was turned away")
	}
	other, done2, _ := ts.begin(inTurn("b", "match", 1))
	defer done2()
	kind, done3, _ := ts.begin(inTurn("a", "live", 1))
	defer done3()
	two, done4, ok := ts.begin(inTurn("a", "match", 2))
	if !ok {
		t.Fatal("the newer was turned away")
	}
	if one.Err() != context.Canceled {
		t.Error("the older goes on")
	}
	if other.Err() != nil || kind.Err() != nil || two.Err() != nil {
		t.Error("another tab, kind or the newer itself was stopped")
	}
	if _, _, ok := ts.begin(inTurn("a", "match", 1)); ok {
		t.Error("an older one that came late was let in")
	}
	done1()
	done4()
	if two.Err() == nil {
		t.Error("a finished one holds its context")
	}
}

func TestTabsAreBounded(t *testing.T) {
	var ts turns
	for i := range 10 * maxTabs {
		_, done, _ := ts.begin(inTurn(fmt.Sprint("tab", i), "live", 1))
		done()
	}
	if len(ts.now) > maxTabs {
		t.Errorf("%d tabs are remembered, at most %d wanted", len(ts.now), maxTabs)
	}
}
