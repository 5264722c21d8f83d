-- Format 3. `entry` and `file` are the truth and are only ever added to, `checkpoint` keeps those given out and `given_out`
-- which copies were made; the other tables are made from the entries.
CREATE TABLE entry (
  seq INTEGER PRIMARY KEY,
  recorded_at INTEGER NOT NULL,          -- microseconds since 1970-01-01T00:00Z, a copy out of the line
  line TEXT,                             -- null once it was blanked
  leaf BLOB NOT NULL CHECK (length(leaf) = 32)
) STRICT;
CREATE TRIGGER entry_is_added_at_the_end BEFORE INSERT ON entry
WHEN NEW.seq IS NOT coalesce((SELECT max(seq) FROM entry), 0) + 1
  OR NEW.recorded_at <= coalesce((SELECT recorded_at FROM entry ORDER BY seq DESC LIMIT 1), NEW.recorded_at - 1)
BEGIN SELECT raise(ABORT, 'entries are added at the end, later than the last'); END;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
WHEN NEW.line IS NOT NULL OR NEW.seq IS NOT OLD.seq OR NEW.recorded_at IS NOT OLD.recorded_at OR NEW.leaf IS NOT OLD.leaf
BEGIN SELECT raise(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'entries are never deleted'); END;
CREATE TABLE file (
  sha256 TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  bytes BLOB                             -- null once it was blanked
) STRICT;
CREATE TRIGGER file_is_never_changed BEFORE UPDATE ON file
WHEN NEW.bytes IS NOT NULL OR NEW.sha256 IS NOT OLD.sha256 OR (NEW.name IS NOT OLD.name AND NEW.name IS NOT '')
BEGIN SELECT raise(ABORT, 'files are never changed'); END;
CREATE TRIGGER file_is_never_deleted BEFORE DELETE ON file
BEGIN SELECT raise(ABORT, 'files are never deleted'); END;
CREATE TABLE checkpoint (
  size INTEGER PRIMARY KEY,              -- of the log that it is of
  note TEXT NOT NULL
) STRICT;
CREATE TRIGGER checkpoint_is_never_changed BEFORE UPDATE ON checkpoint
BEGIN SELECT raise(ABORT, 'checkpoints are never changed'); END;
CREATE TRIGGER checkpoint_is_never_deleted BEFORE DELETE ON checkpoint
BEGIN SELECT raise(ABORT, 'checkpoints are never deleted'); END;
CREATE TABLE given_out (
  number INTEGER PRIMARY KEY,
  at INTEGER NOT NULL,                   -- microseconds since 1970-01-01T00:00Z
  what TEXT NOT NULL,                    -- what kind of copy it is
  name TEXT NOT NULL,                    -- of the file, without folders
  size INTEGER NOT NULL,                 -- entries on record then
  about TEXT NOT NULL                    -- JSON: the subjects it is about; an empty list for all
) STRICT;
CREATE TRIGGER given_out_is_never_changed BEFORE UPDATE ON given_out
BEGIN SELECT raise(ABORT, 'what was given out is never changed'); END;
CREATE TRIGGER given_out_is_never_deleted BEFORE DELETE ON given_out
BEGIN SELECT raise(ABORT, 'what was given out is never deleted'); END;
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE word (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE said (
  seq INTEGER NOT NULL,
  place INTEGER NOT NULL,
  subject INTEGER NOT NULL,
  key INTEGER NOT NULL,
  kind INTEGER NOT NULL,
  value TEXT NOT NULL,
  valid_from TEXT NOT NULL,
  valid_until TEXT NOT NULL,
  PRIMARY KEY (seq, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX said_of ON said (subject, key);
CREATE TABLE answered (
  seq INTEGER NOT NULL,
  place INTEGER NOT NULL,
  by_seq INTEGER NOT NULL,
  PRIMARY KEY (seq, place, by_seq)
) STRICT, WITHOUT ROWID;
CREATE INDEX answered_by ON answered (by_seq);
CREATE TABLE held (
  subject INTEGER NOT NULL,
  key INTEGER NOT NULL,
  known_from INTEGER NOT NULL,           -- the entry that made it known
  valid_from INTEGER NOT NULL,           -- a day, counted from 0001-01-01 = 1
  known_until INTEGER NOT NULL,          -- the entry that ended its being known
  valid_until INTEGER NOT NULL,
  kind INTEGER NOT NULL,
  value TEXT NOT NULL,
  seqs TEXT NOT NULL,
  PRIMARY KEY (subject, key, known_from, valid_from)
) STRICT, WITHOUT ROWID;
CREATE TABLE node (
  level INTEGER NOT NULL,                -- a full subtree over 2^level leaves
  place INTEGER NOT NULL,                -- 0 is the first of its level
  hash BLOB NOT NULL,
  PRIMARY KEY (level, place)
) STRICT, WITHOUT ROWID;
CREATE TABLE subject_head (
  path BLOB PRIMARY KEY,                 -- the hash of the subject's name
  entries INTEGER NOT NULL,              -- how many mention it
  head BLOB NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE head_bucket (
  place INTEGER PRIMARY KEY,             -- the first 12 bits of the paths
  subjects INTEGER NOT NULL,
  hash BLOB NOT NULL
) STRICT;
