import { parentPort, workerData } from 'node:worker_threads';
import { openStore, type StorePlace } from '../record/open-store.ts';
import { type ExportJob, type ExportResult, runExport } from './export-job.ts';

/** Makes exports in a thread of its own, from its own connection to the record: a report must not keep readings waiting. */

export interface WorkerAnswer {
  readonly result?: ExportResult;
  readonly error?: string;
}

// Opened once; a job that comes before waits for it, and one that finds it shut out says so.
const opening = openStore(workerData as StorePlace);
opening.catch(() => undefined);
const port = parentPort;
if (!port) throw new Error('this file is for a worker thread');
port.on('message', (job: ExportJob) => {
  opening.then(({ store }) => runExport(store, job)).then(
    (result) => port.postMessage({ result } satisfies WorkerAnswer),
    (error: unknown) => port.postMessage({ error: error instanceof Error ? (error.stack ?? error.message) : String(error) } satisfies WorkerAnswer),
  );
});
