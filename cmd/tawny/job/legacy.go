package job

import (
	"encoding/json"
	"strings"
)

// Requests of version 1 are those the first edition kept in its book: the same
// things said under other names.
var keysOfVersion1 = map[string]string{
	"repeatDeltaE": "repeat", "loadPercent": "load", "loadMaxPercent": "load-max", "loadMinPercent": "load-min",
	"tiltDegrees": "tilt", "applySpreadPercent": "apply-spread", "mostPowders": "max", "palette": "drawer", "must": "use",
	"atMost": "at-most", "atLeast": "at-least", "inStock": "in-stock", "costMax": "cost-max", "containerMl": "ml",
	"balanceG": "balance", "secondLight": "second-light", "bothLights": "both-lights", "parts": "part",
	"overfillPercent": "overfill", "lossPercent": "loss", "nozzleUm": "nozzle-um", "scentLimitPercent": "scent-limit",
	"allergens": "allergen", "marginPercent": "margin", "labourHours": "labour-hours",
}

// namesOfVersion1 are words that values held then, and today's.
var namesOfVersion1 = strings.NewReplacer("/spex", "/de", "/spin", "/di", `"russet`, `"fox`, `"wine`, `"mulberry`)

// fromVersion1 brings a request of the first edition over.
func fromVersion1(items map[string]json.RawMessage) (map[string]json.RawMessage, error) {
	now := map[string]json.RawMessage{}
	take := func(items map[string]json.RawMessage) {
		for key, raw := range items {
			if name := keysOfVersion1[key]; name != "" {
				key = name
			}
			now[key] = json.RawMessage(namesOfVersion1.Replace(string(raw)))
		}
	}
	take(items)
	if bench, ok := now["bench"]; ok {
		var inner map[string]json.RawMessage
		if err := json.Unmarshal(bench, &inner); err != nil {
			return nil, err
		}
		delete(now, "bench")
		take(inner)
	}
	delete(now, "page") // an address of the first edition's page
	return now, nil
}
