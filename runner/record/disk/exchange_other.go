//go:build !linux

package disk

func exchange(a, b string) error { return ErrNoExchange }
