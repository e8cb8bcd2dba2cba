//go:build !linux

package record

func exchange(a, b string) error { return ErrNoExchange }
