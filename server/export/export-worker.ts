import { join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { openSqliteStore } from '../record/sqlite-store.ts';
import { type ExportJob, type ExportResult, runExport } from './export-job.ts';

/** Makes exports in a thread of its own, from its own connection to the record: a report must not keep readings waiting. */

export interface WorkerAnswer {
  readonly result?: ExportResult;
  readonly error?: string;
}

const { dataDir } = workerData as { dataDir: string };
const { store } = openSqliteStore(join(dataDir, 'record.db'));
const port = parentPort;
if (!port) throw new Error('this file is for a worker thread');
port.on('message', (job: ExportJob) => {
  runExport(store, job).then(
    (result) => port.postMessage({ result } satisfies WorkerAnswer),
    (error: unknown) => port.postMessage({ error: error instanceof Error ? (error.stack ?? error.message) : String(error) } satisfies WorkerAnswer),
  );
});
