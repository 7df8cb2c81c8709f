package browsertest

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// screen is a size, whether it is touched, and the light around it.
type screen struct {
	name          string
	width, height int64
	touch, night  bool
}

var (
	phone      = screen{name: "phone by day", width: 360, height: 800, touch: true}
	phoneNight = screen{name: "phone by night", width: 360, height: 800, touch: true, night: true}
	desk       = screen{name: "desktop by day", width: 1280, height: 900}
	deskNight  = screen{name: "desktop by night", width: 1280, height: 900, night: true}
)

// set makes the window that screen.
func (s screen) set() chromedp.Action[chromedp.Void] {
	light := "light"
	if s.night {
		light = "dark"
	}
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
			Width: s.width, Height: s.height, DeviceScaleFactor: 1, Mobile: s.touch,
		}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled,
			emulation.SetTouchEmulationEnabledParams{Enabled: s.touch}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: light}},
		})
		return err
	})
}
