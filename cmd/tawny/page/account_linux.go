package page

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
)

// foreign tells whether the other end of a connection within this machine is of
// another account, by the kernel's lists of sockets: a key could be read off the
// list of processes while a browser is being opened with it. The administrator
// can read everything anyway. What cannot be told is not foreign.
func foreign(c net.Conn) bool {
	from, to := inLists(c.RemoteAddr()), inLists(c.LocalAddr())
	// IPv4 has a list of its own, and a form in IPv6's.
	for _, list := range []string{"/proc/net/tcp", "/proc/net/tcp6"} {
		if uid, err := ownerOf(list, from, to); err == nil {
			return uid != os.Getuid() && uid != 0
		}
	}
	return false
}

// inLists is an address as the list of IPv6 writes it, each four bytes as a number of
// this machine (proc(5)); that of IPv4 has its end.
func inLists(a net.Addr) (text string) {
	at, ok := a.(*net.TCPAddr)
	if !ok {
		return ""
	}
	for b := at.IP.To16(); len(b) > 0; b = b[4:] {
		text += fmt.Sprintf("%08X", binary.NativeEndian.Uint32(b))
	}
	return fmt.Sprintf("%s:%04X", text, at.Port)
}

// ownerOf is the account of the socket at one end of a connection. Its own address does
// not tell it alone: a port that was just left stands in the list too, as nobody's.
func ownerOf(list, from, to string) (uid int, err error) {
	f, err := os.Open(list)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if row := strings.Fields(s.Text()); len(row) > 7 && strings.HasSuffix(from, row[1]) && strings.HasSuffix(to, row[2]) {
			return strconv.Atoi(row[7])
		}
	}
	return 0, os.ErrNotExist
}
