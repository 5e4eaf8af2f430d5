import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { createConnection } from 'node:net';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freePort } from './mosquitto.ts';
import { until } from './quiet.ts';

/** Where Debian's ejabberd and the Erlang under it may be: installed, or unpacked by scripts/install-test-tools.sh, which starts no service of the machine. */
const ROOTS = ['/', join(process.env['XDG_CACHE_HOME'] ?? join(homedir(), '.cache'), 'potside-tests/ejabberd')];
const LIBRARIES = ROOTS.map((root) => join(root, 'usr/lib', process.arch === 'arm64' ? 'aarch64-linux-gnu' : 'x86_64-linux-gnu'));
const named = (dir: string, start: string): string[] => (existsSync(dir) ? readdirSync(dir).filter((name) => name.startsWith(start)) : []);
const ERLANG = ROOTS.map((root) => join(root, 'usr/lib/erlang')).find((dir) => named(dir, 'erts-').length > 0);
/** The programs of the Erlang that it runs on; null where it is not here. */
const BIN = ((): string | null => {
  if (ERLANG !== undefined && LIBRARIES.some((dir) => named(dir, 'ejabberd-').length > 0)) return join(ERLANG, named(ERLANG, 'erts-')[0] ?? '', 'bin');
  console.warn('skipped what is over a cluster of brokers: ejabberd is not here; scripts/install-test-tools.sh fetches it');
  return null;
})();
export const HAS_EJABBERD = BIN !== null;

const COOKIE = 'of-this-test';
/** Four seconds on a quiet machine. */
const START_MS = 120_000;

export interface BrokerNode {
  readonly url: string;
  kill(): Promise<void>;
}

/** A cluster of two MQTT 5 brokers on loopback, which know each other. Killed when the test ends. */
export async function startBrokerCluster(dir: string): Promise<readonly [BrokerNode, BrokerNode]> {
  const epmdPort = String(await freePort());
  const libraries = [...LIBRARIES, ...ROOTS.map((root) => join(root, 'usr/lib/erlang/lib'))].filter((dir) => existsSync(dir)).join(':');
  const env = { ...process.env, ROOTDIR: ERLANG ?? '', BINDIR: BIN ?? '', EMU: 'beam', PROGNAME: 'erl', ERL_EPMD_ADDRESS: '127.0.0.1', ERL_EPMD_PORT: epmdPort, LD_LIBRARY_PATH: LIBRARIES.join(':'), ERL_LIBS: libraries };
  const run = (program: string, args: readonly string[], more: NodeJS.ProcessEnv = {}): ChildProcess => {
    const child = spawn(join(BIN ?? '', program), args, { stdio: 'ignore', env: { ...env, ...more } });
    onTestFinished(() => void child.kill('SIGKILL'));
    return child;
  };
  run('epmd', ['-port', epmdPort, '-address', '127.0.0.1']);
  await until(() => answers(Number(epmdPort)), 'Erlang’s port mapper to listen');
  const ask = (node: string, what: string): string => {
    const { stdout, stderr } = spawnSync(join(BIN ?? '', 'erl_call'), ['-c', COOKIE, '-name', node, '-e'], { env, input: `${what}\n`, encoding: 'utf8', timeout: START_MS });
    return stdout + stderr;
  };
  const start = async (name: string): Promise<BrokerNode & { readonly node: string }> => {
    const [home, port] = [join(dir, name), await freePort()];
    mkdirSync(home);
    writeFileSync(join(home, 'ejabberd.yml'), configuration(port));
    const node = `${name}@127.0.0.1`;
    // Its threads wait asleep: on a busy machine they would only keep the others from working.
    const args = ['+sbwt', 'none', '+sbwtdcpu', 'none', '+sbwtdio', 'none', '-noinput', '-name', node, '-setcookie', COOKIE, '-kernel', 'inet_dist_use_interface', '{127,0,0,1}', '-mnesia', 'dir', `"${join(home, 'database')}"`, '-s', 'ejabberd'];
    const child = run('erlexec', args, { HOME: home, EJABBERD_CONFIG_PATH: join(home, 'ejabberd.yml'), EJABBERD_LOG_PATH: join(home, 'ejabberd.log') });
    await until(() => answers(port), `broker ${name} to listen`, START_MS);
    return {
      node,
      url: `mqtt://127.0.0.1:${port}`,
      kill: async () => {
        const ended = once(child, 'exit');
        child.kill('SIGKILL');
        await ended;
      },
    };
  };
  const [one, other] = await Promise.all([start('one'), start('other')]);
  // Its port is open before all of it has started.
  await until(() => ask(other.node, 'lists:keymember(ejabberd, 1, application:which_applications()).').includes('true'), 'the second broker to run', START_MS);
  const joined = ask(other.node, `ejabberd_cluster:join('${one.node}').`);
  if (!joined.includes('{ok, ok}')) throw new Error(`the second broker did not join: ${joined}`);
  await until(() => [one, other].every(({ node }) => [one, other].every((member) => ask(node, 'ejabberd_cluster:get_nodes().').includes(member.node))) && answers(Number(new URL(other.url).port)), 'both brokers to know each other', START_MS);
  return [one, other];
}

/** Anybody may say and hear everything. */
function configuration(port: number): string {
  return `hosts: [localhost]
loglevel: warning
listen:
  - { port: ${port}, ip: "127.0.0.1", module: mod_mqtt, backlog: 100 }
auth_method: [anonymous]
anonymous_protocol: login_anon
allow_multiple_connections: true
modules:
  mod_mqtt:
    access_publish: { "#": [{ allow: all }] }
    access_subscribe: { "#": [{ allow: all }] }
`;
}

function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
    socket.on('error', () => resolve(false));
  });
}
