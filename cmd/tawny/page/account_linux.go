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
	at, ok := c.RemoteAddr().(*net.TCPAddr)
	if !ok {
		return false
	}
	// The address as the lists write it: each four bytes as a number of this
	// machine (proc(5)). IPv4 has a list of its own, and a form in IPv6's.
	long, last := "", ""
	for b := at.IP.To16(); len(b) > 0; b = b[4:] {
		last = fmt.Sprintf("%08X", binary.NativeEndian.Uint32(b))
		long += last
	}
	for list, address := range map[string]string{"/proc/net/tcp": last, "/proc/net/tcp6": long} {
		if uid, err := ownerOf(list, fmt.Sprintf("%s:%04X", address, at.Port)); err == nil {
			return uid != os.Getuid() && uid != 0
		}
	}
	return false
}

// ownerOf is the account of the socket with a local address.
func ownerOf(list, address string) (uid int, err error) {
	f, err := os.Open(list)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if row := strings.Fields(s.Text()); len(row) > 7 && row[1] == address {
			return strconv.Atoi(row[7])
		}
	}
	return 0, os.ErrNotExist
}
