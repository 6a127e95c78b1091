package job

import (
	"context"

	"tawny/blend/mend"
)

// FindReach works out which load, coverage or further powder would reach the
// target, and keeps it with the result. It takes seconds: every route is a
// search.
func (m *MatchResult) FindReach(ctx context.Context) (err error) {
	if m.Reach, err = mend.Reach(ctx, m.result.Request, m.result); err != nil {
		return searched(ctx, err)
	}
	kind := m.setting.base.Kind
	usual := kind.UsualLoad()
	m.Reach.WeighUp(usual.Low, usual.High, string(kind))
	return nil
}
