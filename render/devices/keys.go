package devices

import "strconv"

// keyNames are the names of keys, as files and pages write them. The numbers are
// those of GLFW 3.3 (glfw3.h, "Keyboard key tokens"), which has them from the
// USB HID usage tables' US board.
var keyNames = names()

var keyByName = byName()

func names() map[Key]string {
	all := map[Key]string{
		32: "space", 39: "apostrophe", 44: "comma", 45: "minus", 46: "period", 47: "slash", 59: "semicolon", 61: "equal",
		91: "left-bracket", 92: "backslash", 93: "right-bracket", 96: "grave",
		256: "escape", 257: "enter", 258: "tab", 259: "backspace", 260: "insert", 261: "delete",
		262: "right", 263: "left", 264: "down", 265: "up", 266: "page-up", 267: "page-down", 268: "home", 269: "end",
		280: "caps-lock", 281: "scroll-lock", 282: "num-lock", 283: "print", 284: "pause",
		330: "pad-decimal", 331: "pad-divide", 332: "pad-multiply", 333: "pad-minus", 334: "pad-plus", 335: "pad-enter", 336: "pad-equal",
		340: "left-shift", 341: "left-control", 342: "left-alt", 343: "left-system",
		344: "right-shift", 345: "right-control", 346: "right-alt", 347: "right-system", 348: "menu",
	}
	for c := Key('0'); c <= '9'; c++ {
		all[c] = string(rune(c))
		all[320+c-'0'] = "pad-" + string(rune(c))
	}
	for c := Key('A'); c <= 'Z'; c++ {
		all[c] = string(rune(c - 'A' + 'a'))
	}
	for i := Key(1); i <= 12; i++ {
		all[289+i] = "f" + strconv.Itoa(int(i))
	}
	return all
}

func byName() map[string]Key {
	all := make(map[string]Key, len(keyNames))
	for key, name := range keyNames {
		all[name] = key
	}
	return all
}

// String returns the name of k, as files write it.
func (k Key) String() string {
	if name, ok := keyNames[k]; ok {
		return name
	}
	return "unknown"
}

// ParseKey returns the key called name.
func ParseKey(name string) (Key, bool) {
	k, ok := keyByName[name]
	return k, ok
}
