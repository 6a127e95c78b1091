package book

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	_ "image/jpeg" // the kinds of picture the book keeps
	_ "image/png"
	"time"
)

// Photo is a picture of a skin, a reading, a blend, a batch or a lot.
type Photo struct {
	ID         int64     `json:"id"`
	ClientID   int64     `json:"client_id,omitempty" book:"of client,null"`
	SkinID     int64     `json:"skin_id,omitempty" book:"of skin,null"`
	ReadingID  int64     `json:"reading_id,omitempty" book:"of reading,null"`
	BlendID    int64     `json:"blend_id,omitempty" book:"of blend,null"`
	BatchID    int64     `json:"batch_id,omitempty" book:"of batch,null"`
	LotID      int64     `json:"lot_id,omitempty" book:"of lot,null"`
	TakenOn    string    `json:"taken_on" book:"day"`                       // day; today where empty
	Place      string    `json:"place,omitempty"`                           // on the body
	MediaType  string    `json:"media_type" book:"in image/jpeg|image/png"` // image/jpeg or image/png; found by looking
	WidthPx    int64     `json:"width_px" book:"from 1 to 6e7"`             // found by looking
	HeightPx   int64     `json:"height_px" book:"from 1 to 6e7"`            // found by looking
	SHA256     string    `json:"sha256" book:"required"`                    // of Data, in hex; found by looking
	Note       string    `json:"note,omitempty"`
	RecordedAt time.Time `json:"recorded_at"`
	Data       []byte    `json:"data,omitempty"` // a JPEG or PNG of at most MaxPhotoBytes and 60 megapixels, as it came, with all it says of itself
}

func (p *Photo) prepare(where string) error {
	if err := p.look(); err != nil {
		return &FieldError{where, "data", err.Error()}
	}
	return nil
}

// look fills in what the picture itself tells, from its first bytes: the
// picture is not unpacked.
func (p *Photo) look() error {
	if len(p.Data) == 0 || len(p.Data) > MaxPhotoBytes {
		return fmt.Errorf("%.1f MiB; give a JPEG or PNG of at most %d MiB", float64(len(p.Data))/(1<<20), MaxPhotoBytes>>20)
	}
	info, format, err := image.DecodeConfig(bytes.NewReader(p.Data))
	if err != nil || format != "jpeg" && format != "png" {
		return fmt.Errorf("not a picture the book can keep; give a JPEG or PNG")
	}
	if info.Width < 1 || info.Height < 1 || info.Width > maxPhotoPixels/info.Height {
		return fmt.Errorf("%d × %d pixels; at most %d million", info.Width, info.Height, maxPhotoPixels/1_000_000)
	}
	sum := sha256.Sum256(p.Data)
	p.MediaType, p.SHA256 = "image/"+format, hex.EncodeToString(sum[:])
	p.WidthPx, p.HeightPx = int64(info.Width), int64(info.Height)
	return nil
}

// checkPhoto reports a photo's row that says other than its picture does.
func checkPhoto(t *table, row []any, where string) error {
	seen := &Photo{}
	seen.Data, _ = row[t.column("data")].([]byte)
	if err := seen.prepare(where); err != nil {
		return err
	}
	own := t.row(seen)
	for _, name := range []string{"sha256", "media_type", "width_px", "height_px"} {
		if i := t.column(name); row[i] != own[i] {
			return &FieldError{where, name, fmt.Sprintf("says %v, but the picture's own is %v", row[i], own[i])}
		}
	}
	return nil
}
