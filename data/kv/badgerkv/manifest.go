package badgerkv

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/dgraph-io/badger/v4"
	"github.com/dgraph-io/badger/v4/options"
	"github.com/dgraph-io/badger/v4/pb"
	"google.golang.org/protobuf/proto"
)

// manifest is Badger's list of tables, read without touching it.
type manifest struct {
	present bool
	live    map[uint64]options.CompressionType
	named   map[uint64]bool // every table it ever named
}

const manifestHead = 8 // magic and versions; Badger itself checks them

// readManifest replays the list. An incomplete last record is what a crash
// leaves and is passed over, as Badger does; whether something is missing the
// notes and the change log tell.
func readManifest(dir string) (manifest, error) {
	m := manifest{live: map[uint64]options.CompressionType{}, named: map[uint64]bool{}}
	raw, err := os.ReadFile(filepath.Join(dir, badger.ManifestFilename))
	if errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	if err != nil {
		return m, damaged("Badger's list of tables cannot be read", err)
	}
	if len(raw) < manifestHead {
		return m, damaged("Badger's list of tables is cut off", nil)
	}
	m.present = true
	for rest := raw[manifestHead:]; len(rest) >= 8; {
		size := uint64(binary.BigEndian.Uint32(rest))
		if size > uint64(len(rest)-8) {
			if size > uint64(len(raw)) {
				return m, damaged("Badger's list of tables is damaged", nil)
			}
			break
		}
		record := rest[8 : 8+size]
		if crc32.Checksum(record, crcTable) != binary.BigEndian.Uint32(rest[4:]) {
			return m, damaged("Badger's list of tables fails its checksum", nil)
		}
		var set pb.ManifestChangeSet
		if err := proto.Unmarshal(record, &set); err != nil {
			return m, damaged("Badger's list of tables cannot be decoded", err)
		}
		m.apply(&set)
		rest = rest[8+size:]
	}
	return m, nil
}

func (m manifest) apply(set *pb.ManifestChangeSet) {
	for _, c := range set.GetChanges() {
		m.named[c.GetId()] = true
		if c.GetOp() == pb.ManifestChange_DELETE {
			delete(m.live, c.GetId())
		} else {
			m.live[c.GetId()] = options.CompressionType(c.GetCompression())
		}
	}
}
