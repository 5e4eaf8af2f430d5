/** The tables of the record, one step a change; a step that has shipped is never edited. Bytes and meanings: docs/record.md. */
export const RECORD_MIGRATIONS: readonly string[] = [
  `CREATE TABLE log (
     site TEXT NOT NULL, seq INTEGER NOT NULL, at_ms INTEGER NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL,
     PRIMARY KEY (site, seq)) WITHOUT ROWID;
   CREATE TABLE series (
     id INTEGER PRIMARY KEY, site TEXT NOT NULL, owner TEXT NOT NULL, point TEXT NOT NULL, UNIQUE (site, owner, point));
   CREATE TABLE reading (
     id INTEGER PRIMARY KEY AUTOINCREMENT, series INTEGER NOT NULL REFERENCES series, observed_ms INTEGER NOT NULL,
     received_ms INTEGER NOT NULL, value REAL, quality TEXT NOT NULL, reason TEXT, late INTEGER NOT NULL);
   CREATE INDEX reading_by_time ON reading (series, observed_ms);
   CREATE TABLE computed (
     series INTEGER NOT NULL REFERENCES series, at_ms INTEGER NOT NULL, value REAL, quality TEXT NOT NULL, reason TEXT,
     PRIMARY KEY (series, at_ms)) WITHOUT ROWID;
   CREATE TABLE journal (
     site TEXT NOT NULL, seq INTEGER NOT NULL, n INTEGER NOT NULL, at_ms INTEGER NOT NULL, kind TEXT NOT NULL, owner TEXT,
     alarm TEXT, detail TEXT NOT NULL, PRIMARY KEY (site, seq, n)) WITHOUT ROWID;
   CREATE INDEX journal_by_alarm ON journal (alarm) WHERE alarm IS NOT NULL;
   CREATE TABLE shift (
     id TEXT PRIMARY KEY, site TEXT NOT NULL, rig TEXT NOT NULL, started_ms INTEGER NOT NULL, started_by TEXT NOT NULL, ended_ms INTEGER) WITHOUT ROWID;
   CREATE TABLE cursor (
     site TEXT NOT NULL, gateway TEXT NOT NULL, epoch TEXT NOT NULL, committed INTEGER NOT NULL, PRIMARY KEY (site, gateway, epoch)) WITHOUT ROWID;
   CREATE TABLE snapshot (site TEXT PRIMARY KEY, seq INTEGER NOT NULL, body TEXT NOT NULL) WITHOUT ROWID;
   CREATE TABLE answer (site TEXT NOT NULL, key TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (site, key)) WITHOUT ROWID`,
  `CREATE TABLE user (name TEXT PRIMARY KEY, role TEXT NOT NULL, hash TEXT NOT NULL, disabled INTEGER NOT NULL DEFAULT 0) WITHOUT ROWID;
   CREATE TABLE session (hash TEXT PRIMARY KEY, name TEXT NOT NULL REFERENCES user, expires_ms INTEGER NOT NULL) WITHOUT ROWID;
   CREATE TABLE token (hash TEXT PRIMARY KEY, name TEXT NOT NULL UNIQUE, role TEXT NOT NULL) WITHOUT ROWID`,
  `CREATE INDEX journal_alarms_by_time ON journal (site, at_ms) WHERE kind = 'alarm'`,
  'ALTER TABLE reading ADD COLUMN sequence INTEGER NOT NULL DEFAULT 0',
  `ALTER TABLE shift ADD COLUMN state TEXT;
   ALTER TABLE shift ADD COLUMN body TEXT;
   ALTER TABLE shift ADD COLUMN headline TEXT;
   UPDATE shift SET state = CASE WHEN ended_ms IS NULL THEN 'open' ELSE 'ended' END;
   CREATE INDEX shift_by_start ON shift (site, started_ms);
   CREATE TABLE shift_item (
     id TEXT PRIMARY KEY, site TEXT NOT NULL, shift TEXT, rig TEXT NOT NULL, at_ms INTEGER NOT NULL, body TEXT NOT NULL) WITHOUT ROWID;
   CREATE INDEX shift_item_by_shift ON shift_item (shift, at_ms);
   CREATE TABLE photo (sha256 TEXT PRIMARY KEY, media_type TEXT NOT NULL, bytes BLOB NOT NULL);
   CREATE TABLE bundle (shift TEXT PRIMARY KEY, bytes BLOB NOT NULL)`,
  // Sessions of before end here: they don't say where they came from, and people sign in again.
  `ALTER TABLE user ADD COLUMN sites TEXT;
   ALTER TABLE user ADD COLUMN pin TEXT;
   ALTER TABLE user ADD COLUMN totp TEXT;
   ALTER TABLE user ADD COLUMN totp_step INTEGER;
   ALTER TABLE user ADD COLUMN subject TEXT;
   CREATE UNIQUE INDEX user_by_subject ON user (subject) WHERE subject IS NOT NULL;
   DROP TABLE session;
   CREATE TABLE session (
     hash TEXT PRIMARY KEY, id TEXT NOT NULL UNIQUE, name TEXT NOT NULL REFERENCES user, way TEXT NOT NULL, cap TEXT, device TEXT,
     started_ms INTEGER NOT NULL, expires_ms INTEGER NOT NULL, address TEXT NOT NULL, agent TEXT NOT NULL) WITHOUT ROWID;
   ALTER TABLE token ADD COLUMN sites TEXT;
   ALTER TABLE token ADD COLUMN until_ms INTEGER;
   ALTER TABLE token ADD COLUMN made_by TEXT;
   ALTER TABLE token ADD COLUMN made_ms INTEGER;
   CREATE TABLE screen (
     hash TEXT PRIMARY KEY, id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, name TEXT NOT NULL, site TEXT NOT NULL, until_ms INTEGER NOT NULL,
     made_by TEXT NOT NULL, made_ms INTEGER NOT NULL) WITHOUT ROWID;
   CREATE TABLE known_browser (hash TEXT NOT NULL, name TEXT NOT NULL, until_ms INTEGER NOT NULL, PRIMARY KEY (hash, name)) WITHOUT ROWID;
   CREATE TABLE audit (
     seq INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, by TEXT NOT NULL, role TEXT NOT NULL, address TEXT NOT NULL, what TEXT NOT NULL,
     site TEXT, subject TEXT, old TEXT, new TEXT, why TEXT, hash TEXT NOT NULL);
   CREATE INDEX audit_by_subject ON audit (subject);
   CREATE TRIGGER audit_is_not_changed BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'the audit trail is only ever added to'); END;
   CREATE TRIGGER audit_is_not_shortened BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'the audit trail is only ever added to'); END`,
  `ALTER TABLE cursor ADD COLUMN ranges TEXT NOT NULL DEFAULT '[]';
   ALTER TABLE cursor ADD COLUMN missing INTEGER NOT NULL DEFAULT 0;
   UPDATE cursor SET ranges = '[[0,' || committed || ']]'`,
  `CREATE TABLE pack (
     id INTEGER PRIMARY KEY, site TEXT NOT NULL, from_seq INTEGER NOT NULL, to_seq INTEGER NOT NULL, to_ms INTEGER NOT NULL,
     last_id INTEGER NOT NULL, is_cleared INTEGER NOT NULL DEFAULT 0, bytes BLOB NOT NULL, UNIQUE (site, from_seq));
   CREATE TABLE block (
     series INTEGER NOT NULL REFERENCES series, hour_ms INTEGER NOT NULL, revision INTEGER NOT NULL, pack INTEGER NOT NULL REFERENCES pack,
     from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL, count INTEGER NOT NULL, bytes BLOB NOT NULL, PRIMARY KEY (series, hour_ms, revision));
   CREATE INDEX block_by_pack ON block (pack);
   ALTER TABLE computed ADD COLUMN seq INTEGER NOT NULL DEFAULT 0`,
  `CREATE TABLE chain (id INTEGER PRIMARY KEY, site TEXT NOT NULL, gateway TEXT NOT NULL, epoch TEXT NOT NULL, owner TEXT NOT NULL, UNIQUE (site, owner, gateway, epoch));
   CREATE TABLE chain_link (chain INTEGER NOT NULL REFERENCES chain, through INTEGER NOT NULL, received_ms INTEGER NOT NULL, hash BLOB NOT NULL, PRIMARY KEY (chain, through)) WITHOUT ROWID`,
  `CREATE TABLE notice (
     id TEXT PRIMARY KEY, site TEXT NOT NULL, alarm TEXT NOT NULL, raised_ms INTEGER NOT NULL, body TEXT NOT NULL, round INTEGER NOT NULL DEFAULT 0,
     next_step INTEGER NOT NULL DEFAULT 0, ended_ms INTEGER, ended_why TEXT) WITHOUT ROWID;
   CREATE INDEX notice_open ON notice (raised_ms) WHERE ended_ms IS NULL;
   CREATE INDEX notice_by_site ON notice (site, raised_ms);
   CREATE TABLE delivery (
     id TEXT PRIMARY KEY, notice TEXT NOT NULL REFERENCES notice, round INTEGER NOT NULL, step INTEGER NOT NULL, person TEXT, channel TEXT NOT NULL,
     target TEXT NOT NULL, digest INTEGER NOT NULL, deadline_ms INTEGER NOT NULL, next_ms INTEGER NOT NULL, attempts INTEGER NOT NULL DEFAULT 0,
     uncertain INTEGER NOT NULL DEFAULT 0, batch TEXT, state TEXT NOT NULL, result TEXT, at_ms INTEGER) WITHOUT ROWID;
   CREATE INDEX delivery_by_notice ON delivery (notice);
   CREATE INDEX delivery_due ON delivery (next_ms) WHERE state = 'waiting';
   CREATE TABLE contact (name TEXT PRIMARY KEY REFERENCES user, email TEXT, quiet_from INTEGER, quiet_to INTEGER) WITHOUT ROWID;
   CREATE TABLE push_subscription (
     id TEXT PRIMARY KEY, name TEXT NOT NULL REFERENCES user, endpoint TEXT NOT NULL UNIQUE, p256dh TEXT NOT NULL, auth TEXT NOT NULL,
     agent TEXT NOT NULL, made_ms INTEGER NOT NULL) WITHOUT ROWID`,
  `CREATE TABLE shift_start (shift TEXT PRIMARY KEY, site TEXT NOT NULL, seq INTEGER NOT NULL, body BLOB NOT NULL);
   CREATE TABLE proposal (
     id TEXT PRIMARY KEY, site TEXT NOT NULL, made_ms INTEGER NOT NULL, body TEXT NOT NULL, forced_ms INTEGER, forced_by TEXT) WITHOUT ROWID;
   CREATE TABLE hold (shift TEXT PRIMARY KEY, site TEXT NOT NULL, at_ms INTEGER NOT NULL, by TEXT NOT NULL, reason TEXT NOT NULL) WITHOUT ROWID;
   CREATE TABLE erasure (
     id INTEGER PRIMARY KEY, series INTEGER NOT NULL REFERENCES series, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL, count INTEGER NOT NULL,
     at_ms INTEGER NOT NULL, by TEXT NOT NULL);
   CREATE INDEX erasure_by_time ON erasure (series, from_ms)`,
  'CREATE TABLE replay (id INTEGER PRIMARY KEY, site TEXT NOT NULL, record TEXT NOT NULL, from_ms INTEGER NOT NULL, to_ms INTEGER)',
  'CREATE TABLE one_time_code (name TEXT PRIMARY KEY REFERENCES user, hash TEXT NOT NULL, until_ms INTEGER NOT NULL, tries_left INTEGER NOT NULL) WITHOUT ROWID',
  'ALTER TABLE contact ADD COLUMN language TEXT',
];
