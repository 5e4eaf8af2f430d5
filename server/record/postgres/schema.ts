import { LOG_TIME_TABLES } from './partitions.ts';

/** Text is compared byte by byte, as in SQLite: order and equality must not hang on a machine's locale. */
const T = 'text COLLATE "C"';

/** Rows by time, each with a partition for what fits into none: a clock that is far off must not stop a commit. */
const BY_TIME = `
  CREATE TABLE log (site ${T} NOT NULL, seq bigint NOT NULL, at_ms bigint NOT NULL, kind ${T} NOT NULL, body ${T} NOT NULL, PRIMARY KEY (site, seq, at_ms)) PARTITION BY RANGE (at_ms);
  CREATE INDEX log_by_time ON log (at_ms);
  CREATE INDEX log_configs ON log (site, seq) WHERE kind = 'config';
  CREATE TABLE reading (
    site ${T} NOT NULL, id bigint NOT NULL, at_ms bigint NOT NULL, series integer NOT NULL, observed_ms bigint NOT NULL, received_ms bigint NOT NULL, value double precision,
    quality ${T} NOT NULL, reason ${T}, late integer NOT NULL, sequence bigint NOT NULL, PRIMARY KEY (site, id, at_ms)) PARTITION BY RANGE (at_ms);
  CREATE INDEX reading_by_time ON reading (series, observed_ms);
  CREATE TABLE computed (
    site ${T} NOT NULL, series integer NOT NULL, at_ms bigint NOT NULL, value double precision, quality ${T} NOT NULL, reason ${T}, seq bigint NOT NULL,
    PRIMARY KEY (site, series, at_ms)) PARTITION BY RANGE (at_ms);
  CREATE TABLE journal (
    site ${T} NOT NULL, seq bigint NOT NULL, n integer NOT NULL, at_ms bigint NOT NULL, kind ${T} NOT NULL, owner ${T}, alarm ${T}, detail ${T} NOT NULL,
    PRIMARY KEY (site, seq, n, at_ms)) PARTITION BY RANGE (at_ms);
  CREATE INDEX journal_by_alarm ON journal (alarm) WHERE alarm IS NOT NULL;
  CREATE INDEX journal_alarms_by_time ON journal (site, at_ms) WHERE kind = 'alarm';
  CREATE TABLE block (
    site ${T} NOT NULL, series integer NOT NULL, hour_ms bigint NOT NULL, revision integer NOT NULL, pack bigint NOT NULL, from_ms bigint NOT NULL, to_ms bigint NOT NULL,
    count integer NOT NULL, bytes bytea NOT NULL, PRIMARY KEY (site, series, hour_ms, revision)) PARTITION BY RANGE (hour_ms);
  CREATE INDEX block_by_series ON block (series, hour_ms);
  CREATE INDEX block_by_pack ON block (pack);
  ${[...LOG_TIME_TABLES, 'block'].map((table) => `CREATE TABLE ${table}_else PARTITION OF ${table} DEFAULT`).join(';\n  ')}`;

const RECORD = `
  CREATE TABLE log_head (site ${T} PRIMARY KEY, seq bigint NOT NULL);
  CREATE TABLE series (id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY, site ${T} NOT NULL, owner ${T} NOT NULL, point ${T} NOT NULL, UNIQUE (site, owner, point));
  CREATE TABLE pack (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, site ${T} NOT NULL, from_seq bigint NOT NULL, to_seq bigint NOT NULL, to_ms bigint NOT NULL, last_id bigint NOT NULL,
    is_cleared integer NOT NULL DEFAULT 0, bytes bytea NOT NULL, UNIQUE (site, from_seq));
  CREATE TABLE shift (
    id ${T} PRIMARY KEY, site ${T} NOT NULL, rig ${T} NOT NULL, started_ms bigint NOT NULL, started_by ${T} NOT NULL, ended_ms bigint, state ${T}, body ${T}, headline ${T});
  CREATE INDEX shift_by_start ON shift (site, started_ms);
  CREATE TABLE shift_item (id ${T} PRIMARY KEY, site ${T} NOT NULL, shift ${T}, rig ${T} NOT NULL, at_ms bigint NOT NULL, body ${T} NOT NULL);
  CREATE INDEX shift_item_by_shift ON shift_item (shift, at_ms);
  CREATE TABLE shift_start (shift ${T} PRIMARY KEY, site ${T} NOT NULL, seq bigint NOT NULL, body bytea NOT NULL);
  CREATE TABLE photo (sha256 ${T} PRIMARY KEY, media_type ${T} NOT NULL, bytes bytea NOT NULL);
  CREATE TABLE bundle (shift ${T} PRIMARY KEY, bytes bytea NOT NULL);
  CREATE TABLE cursor (site ${T} NOT NULL, gateway ${T} NOT NULL, epoch ${T} NOT NULL, committed bigint NOT NULL, ranges ${T} NOT NULL, missing bigint NOT NULL, PRIMARY KEY (site, gateway, epoch));
  CREATE TABLE snapshot (site ${T} PRIMARY KEY, seq bigint NOT NULL, body ${T} NOT NULL);
  CREATE TABLE answer (site ${T} NOT NULL, key ${T} NOT NULL, body ${T} NOT NULL, PRIMARY KEY (site, key));
  CREATE TABLE chain (id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY, site ${T} NOT NULL, gateway ${T} NOT NULL, epoch ${T} NOT NULL, owner ${T} NOT NULL, UNIQUE (site, owner, gateway, epoch));
  CREATE TABLE chain_link (chain integer NOT NULL REFERENCES chain, through bigint NOT NULL, received_ms bigint NOT NULL, hash bytea NOT NULL, PRIMARY KEY (chain, through));
  CREATE TABLE proposal (id ${T} PRIMARY KEY, site ${T} NOT NULL, made_ms bigint NOT NULL, body ${T} NOT NULL, forced_ms bigint, forced_by ${T});
  CREATE TABLE hold (shift ${T} PRIMARY KEY, site ${T} NOT NULL, at_ms bigint NOT NULL, by ${T} NOT NULL, reason ${T} NOT NULL);
  CREATE TABLE erasure (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, series integer NOT NULL REFERENCES series, from_ms bigint NOT NULL, to_ms bigint NOT NULL, count integer NOT NULL,
    at_ms bigint NOT NULL, by ${T} NOT NULL);
  CREATE INDEX erasure_by_time ON erasure (series, from_ms);
  CREATE TABLE replay (id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, site ${T} NOT NULL, record ${T} NOT NULL, from_ms bigint NOT NULL, to_ms bigint)`;

const ACCESS = `
  CREATE TABLE "user" (
    name ${T} PRIMARY KEY, role ${T} NOT NULL, hash ${T} NOT NULL, disabled integer NOT NULL DEFAULT 0, sites ${T}, pin ${T}, totp ${T}, totp_step bigint, subject ${T});
  CREATE UNIQUE INDEX user_by_subject ON "user" (subject) WHERE subject IS NOT NULL;
  CREATE TABLE session (
    hash ${T} PRIMARY KEY, id ${T} NOT NULL UNIQUE, name ${T} NOT NULL REFERENCES "user", way ${T} NOT NULL, cap ${T}, device ${T}, started_ms bigint NOT NULL,
    expires_ms bigint NOT NULL, address ${T} NOT NULL, agent ${T} NOT NULL);
  CREATE TABLE token (hash ${T} PRIMARY KEY, name ${T} NOT NULL UNIQUE, role ${T} NOT NULL, sites ${T}, until_ms bigint, made_by ${T}, made_ms bigint);
  CREATE TABLE screen (
    hash ${T} PRIMARY KEY, id ${T} NOT NULL UNIQUE, kind ${T} NOT NULL, name ${T} NOT NULL, site ${T} NOT NULL, until_ms bigint NOT NULL, made_by ${T} NOT NULL, made_ms bigint NOT NULL);
  CREATE TABLE known_browser (hash ${T} NOT NULL, name ${T} NOT NULL, until_ms bigint NOT NULL, PRIMARY KEY (hash, name));
  CREATE TABLE one_time_code (name ${T} PRIMARY KEY REFERENCES "user", hash ${T} NOT NULL, until_ms bigint NOT NULL, tries_left integer NOT NULL);
  CREATE TABLE contact (name ${T} PRIMARY KEY REFERENCES "user", email ${T}, quiet_from integer, quiet_to integer);
  CREATE TABLE push_subscription (
    id ${T} PRIMARY KEY, name ${T} NOT NULL REFERENCES "user", endpoint ${T} NOT NULL UNIQUE, p256dh ${T} NOT NULL, auth ${T} NOT NULL, agent ${T} NOT NULL, made_ms bigint NOT NULL);
  CREATE TABLE notice (
    id ${T} PRIMARY KEY, site ${T} NOT NULL, alarm ${T} NOT NULL, raised_ms bigint NOT NULL, body ${T} NOT NULL, round integer NOT NULL DEFAULT 0, next_step integer NOT NULL DEFAULT 0,
    ended_ms bigint, ended_why ${T});
  CREATE INDEX notice_open ON notice (raised_ms) WHERE ended_ms IS NULL;
  CREATE INDEX notice_by_site ON notice (site, raised_ms);
  CREATE TABLE delivery (
    id ${T} PRIMARY KEY, notice ${T} NOT NULL REFERENCES notice, round integer NOT NULL, step integer NOT NULL, person ${T}, channel ${T} NOT NULL, target ${T} NOT NULL,
    digest integer NOT NULL, deadline_ms bigint NOT NULL, next_ms bigint NOT NULL, attempts integer NOT NULL DEFAULT 0, uncertain integer NOT NULL DEFAULT 0, batch ${T},
    state ${T} NOT NULL, result ${T}, at_ms bigint);
  CREATE INDEX delivery_by_notice ON delivery (notice);
  CREATE INDEX delivery_due ON delivery (next_ms) WHERE state = 'waiting';
  CREATE TABLE audit (
    seq bigint PRIMARY KEY, at_ms bigint NOT NULL, by ${T} NOT NULL, role ${T} NOT NULL, address ${T} NOT NULL, what ${T} NOT NULL, site ${T}, subject ${T}, old ${T}, new ${T},
    why ${T}, hash ${T} NOT NULL);
  CREATE INDEX audit_by_subject ON audit (subject);
  CREATE FUNCTION refuse_audit_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'the audit trail is only ever added to'; END $$;
  CREATE TRIGGER audit_is_not_changed BEFORE UPDATE OR DELETE ON audit FOR EACH ROW EXECUTE FUNCTION refuse_audit_change();
  CREATE TRIGGER audit_is_not_emptied BEFORE TRUNCATE ON audit FOR EACH STATEMENT EXECUTE FUNCTION refuse_audit_change()`;

/** The servers that share the sites, and which of them has each. An epoch only ever rises. */
const SERVERS = `
  CREATE TABLE server (id ${T} PRIMARY KEY, secret ${T} NOT NULL, home ${T} NOT NULL, address ${T}, until_ms bigint NOT NULL);
  CREATE TABLE lease (site ${T} PRIMARY KEY, server ${T} NOT NULL, epoch bigint NOT NULL)`;

/** The tables of the record in PostgreSQL, one step a change; a step that has shipped is never edited. Meanings: docs/record.md. */
export const POSTGRES_MIGRATIONS: readonly string[] = [`${RECORD};${BY_TIME};${ACCESS}`, SERVERS, `ALTER TABLE contact ADD COLUMN language ${T}`, `ALTER TABLE server ADD COLUMN certificate ${T}`];
