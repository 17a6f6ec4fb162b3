package beside

import (
	"context"
	"errors"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A panic in a goroutine of the work ended the caller's process: no caller can recover it.
func TestAPanicIsHandedToTheCaller(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	broken := errors.New("broken")
	for _, procs := range []int{1, 2} {
		runtime.GOMAXPROCS(procs)
		var g Group
		done := false
		g.Go(func() { panic(broken) })
		g.Go(func() { done = true })
		got := func() (p any) {
			defer func() { p = recover() }()
			g.Wait()
			return nil
		}()
		require.IsType(t, &Panic{}, got)
		assert.ErrorIs(t, got.(*Panic), broken)
		assert.Contains(t, got.(*Panic).Error(), "watch_test.go", "it tells where")
		assert.True(t, done, "the rest of the work is waited for")
		assert.NotPanics(t, g.Wait, "handed on once")
	}
}

// looks counts how often a context is looked at, and is done after some.
type looks struct {
	context.Context
	n, until int
}

func (l *looks) Err() error {
	if l.n++; l.n > l.until {
		return context.Canceled
	}
	return nil
}

func TestAWatchEndsWorkThatNobodyWaitsFor(t *testing.T) {
	ctx := &looks{context.Background(), 0, 3}
	done := 0
	work := func() (err error) {
		defer Ended(&err)
		var g Group
		defer g.Wait()
		g.Go(func() {
			for w := NewWatch(ctx); ; w.Did(1) {
				done++
			}
		})
		g.Wait()
		return nil
	}
	assert.ErrorIs(t, work(), context.Canceled)
	assert.Equal(t, 3*Units, done, "the fourth look ends it")

	assert.NotPanics(t, func() { (*Watch)(nil).Did(Units) })
	assert.PanicsWithError(t, "sound", func() {
		var err error
		defer func() {
			if p, is := recover().(*Panic); is {
				panic(p.Unwrap())
			}
		}()
		defer Ended(&err)
		panic(errors.New("sound"))
	}, "any other panic goes on")
}

// What is wrong is told, and not that the rest of the work was ended for it.
func TestAPanicGoesBeforeAnEnd(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	var g Group
	g.Go(func() { panic(&ended{context.Canceled}) })
	g.Go(func() { panic("wrong") })
	defer func() { assert.Equal(t, "wrong", recover().(*Panic).Value) }()
	g.Wait()
}

// A context that is none panicked.
func TestAWatchOfNoContext(t *testing.T) {
	assert.NotPanics(t, func() {
		var none context.Context
		w := NewWatch(none)
		w.Did(2 * Units)
		w.Another().Did(2 * Units)
	})
}
