import { Worker } from 'node:worker_threads';
import type { StorePlace } from '../record/open-store.ts';
import type { Store } from '../record/store.ts';
import type { ExportJob, ExportResult } from './export-job.ts';
import type { WorkerAnswer } from './export-worker.ts';

/** Makes exports, one after the other. */
export interface Exporter {
  run(job: ExportJob): Promise<ExportResult>;
  stop(): Promise<void>;
}

/**
 * Exports in a worker thread where there is a built file to run: a 10 h shift takes seconds, and the page and the sensors go on. From the
 * sources, as the tests run, there is none that Node could load, and they are made in the same thread.
 */
export function createExporter(store: Store, place: StorePlace): Exporter {
  const isBuilt = import.meta.url.endsWith('.js');
  const make = isBuilt ? inWorker(place) : { run: async (job: ExportJob) => (await import('./export-job.ts')).runExport(store, job), stop: () => Promise.resolve() };
  let last: Promise<unknown> = Promise.resolve();
  return {
    run: (job) => {
      const next = last.then(() => make.run(job));
      last = next.catch(() => undefined);
      return next;
    },
    stop: async () => {
      await last;
      await make.stop();
    },
  };
}

function inWorker(place: StorePlace): Exporter {
  let worker: Worker | null = null;
  const open = (): Worker => {
    const made = new Worker(new URL('./export-worker.js', import.meta.url), { workerData: place });
    made.unref();
    return made;
  };
  return {
    run: (job) =>
      new Promise((resolve, reject) => {
        const thread = (worker ??= open());
        const fail = (error: Error): void => {
          worker = null;
          done();
          reject(error);
        };
        const gone = (): void => fail(new Error('the export thread ended'));
        const answer = ({ result, error }: WorkerAnswer): void => {
          done();
          if (result) resolve(result);
          else reject(new Error(error ?? 'an export failed'));
        };
        const done = (): void => void thread.off('message', answer).off('error', fail).off('exit', gone);
        thread.on('message', answer).on('error', fail).on('exit', gone);
        thread.postMessage(job);
      }),
    stop: async () => {
      await worker?.terminate();
    },
  };
}
