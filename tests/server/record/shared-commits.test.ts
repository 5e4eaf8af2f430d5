import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SqliteSql } from '../../../host/sqlite-sql.ts';
import { openSqlite, type Sqlite } from '../../../host/open-sqlite.ts';
import { SharedCommits } from '../../../server/record/shared-commits.ts';

describe('commits of several sites', () => {
  let database: Sqlite;
  let begun: number;
  let undone: number;
  let commits: SharedCommits;
  let sql: SqliteSql;
  const kept = (): string[] => (database.prepare('SELECT site FROM kept ORDER BY rowid').all() as { site: string }[]).map(({ site }) => site);
  const keep = (site: string): Promise<void> => commits.commit(site, async () => void (await sql.run('INSERT INTO kept (site) VALUES (?)', site)));

  beforeEach(() => {
    database = openSqlite(':memory:');
    database.exec("CREATE TABLE kept (site TEXT NOT NULL CHECK (site <> 'bad'))");
    [begun, undone] = [0, 0];
    sql = new SqliteSql(database);
    const counted = Object.assign(Object.create(sql) as SqliteSql, {
      transaction: <T>(act: () => Promise<T>, undo?: () => void): Promise<T> => {
        begun += 1;
        return sql.transaction(act, undo);
      },
    });
    commits = new SharedCommits(counted, () => (undone += 1));
  });
  afterEach(() => database.close());

  it('that come together share a transaction, in the order in which they came', async () => {
    await keep('pier-9');
    await keep('quay-2');
    // At rest: the first of them must wait for the others to come.
    await new Promise((resolve) => setImmediate(resolve));
    begun = 0;
    await Promise.all(['a', 'b', 'c', 'd'].map(keep));
    expect(kept()).toEqual(['pier-9', 'quay-2', 'a', 'b', 'c', 'd']);
    expect(begun).toBe(1);
  });

  it('of one site are not held up', async () => {
    await Promise.all([keep('pier-9'), keep('pier-9')]);
    expect(kept()).toEqual(['pier-9', 'pier-9']);
  });

  it('fail alone: the others that shared the transaction are kept', async () => {
    const ended = await Promise.allSettled(['a', 'bad', 'c'].map(keep));
    expect(ended.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(kept().toSorted()).toEqual(['a', 'c']);
    expect(undone).toBeGreaterThan(0);
    await keep('d');
    expect(kept()).toContain('d');
  });
});
