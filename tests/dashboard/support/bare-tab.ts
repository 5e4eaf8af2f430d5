import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';

/**
 * One tab of a Chromium of its own, over the debugger's pipe. Playwright tells its pages that they are always seen; a tab that is really
 * hidden, and really frozen by the browser, needs one that nobody tells so.
 */
export interface BareTab {
  /** The value of an expression in the page. */
  evaluate<T>(expression: string): Promise<T>;
  /** Waits until an expression is true in the page. */
  until(expression: string): Promise<void>;
  show(isShown: boolean): Promise<void>;
  freeze(isFrozen: boolean): Promise<void>;
  close(): Promise<void>;
}

interface Answer {
  readonly id?: number;
  readonly result?: Record<string, unknown>;
  readonly error?: { readonly message: string };
}
type Send = (method: string, params?: object) => Promise<Record<string, unknown>>;

const PATIENCE_MS = 20_000;

/** Messages are JSON, each ended by a zero byte. */
function speak(into: Writable, outOf: Readable): (method: string, params: object, sessionId?: string) => Promise<Record<string, unknown>> {
  const waiting = new Map<number, (answer: Answer) => void>();
  let rest = '';
  let last = 0;
  outOf.setEncoding('utf8').on('data', (text: string) => {
    const parts = (rest + text).split('\0');
    rest = parts.pop() ?? '';
    for (const part of parts) {
      const answer = JSON.parse(part) as Answer;
      if (answer.id !== undefined) waiting.get(answer.id)?.(answer);
    }
  });
  return (method, params, sessionId) => new Promise((resolve, reject) => {
    last += 1;
    waiting.set(last, ({ result, error }) => (error ? reject(new Error(`${method}: ${error.message}`)) : resolve(result ?? {})));
    into.write(`${JSON.stringify({ id: last, method, params, ...(sessionId === undefined ? {} : { sessionId }) })}\0`);
  });
}

export async function openBareTab(url: string): Promise<BareTab> {
  const profile = mkdtempSync(join(tmpdir(), 'potside-tab-'));
  const child = spawn(process.env['CHROMIUM'] ?? '/usr/bin/chromium', ['--headless=new', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking', '--window-size=1440,900', '--remote-debugging-pipe', `--user-data-dir=${profile}`, url], { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] });
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const say = speak(child.stdio[3] as Writable, child.stdio[4] as Readable);
  const pageTarget = async (): Promise<string> => {
    const { targetInfos } = (await say('Target.getTargets', {})) as { targetInfos: readonly { readonly type: string; readonly targetId: string }[] };
    return targetInfos.find(({ type }) => type === 'page')?.targetId ?? (await new Promise((resolve) => setTimeout(resolve, 100)), await pageTarget());
  };
  const { sessionId } = (await say('Target.attachToTarget', { targetId: await pageTarget(), flatten: true })) as { sessionId: string };
  const send: Send = (method, params = {}) => say(method, params, sessionId);
  const { windowId } = await send('Browser.getWindowForTarget');
  const evaluate = async <T>(expression: string): Promise<T> => {
    const { result, exceptionDetails } = await send('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true });
    if (exceptionDetails) throw new Error(`${expression}: ${JSON.stringify(exceptionDetails)}`);
    return (result as { value: T }).value;
  };
  return {
    evaluate,
    async until(expression) {
      for (const startedMs = performance.now(); performance.now() - startedMs < PATIENCE_MS; ) {
        if (await evaluate<boolean>(`Boolean(${expression})`)) return;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
      throw new Error(`not true within ${PATIENCE_MS} ms: ${expression}`);
    },
    show: async (isShown) => void (await send('Browser.setWindowBounds', { windowId, bounds: { windowState: isShown ? 'normal' : 'minimized' } })),
    freeze: async (isFrozen) => void (await send('Page.setWebLifecycleState', { state: isFrozen ? 'frozen' : 'active' })),
    async close() {
      await say('Browser.close', {}).catch(() => child.kill());
      await gone;
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}
