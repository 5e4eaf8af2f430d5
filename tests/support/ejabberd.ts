import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { createConnection } from 'node:net';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freePort } from './mosquitto.ts';
import { until } from './quiet.ts';

/** Where Debian's ejabberd is: installed, or its packages unpacked under this directory, so that no service of the machine has to be started. */
const ROOT = process.env['EJABBERD_ROOT'] ?? '/';
const ERLANG = join(ROOT, 'usr/lib/erlang');
/** The programs of the Erlang that it runs on; null where it is not here. */
const BIN = ((): string | null => {
  const [erts] = existsSync(ERLANG) ? readdirSync(ERLANG).filter((name) => name.startsWith('erts-')) : [];
  const hasBroker = erts !== undefined && readdirSync(join(ROOT, 'usr/lib/x86_64-linux-gnu')).some((name) => name.startsWith('ejabberd-'));
  return hasBroker ? join(ERLANG, erts, 'bin') : null;
})();
export const HAS_EJABBERD = BIN !== null;

const COOKIE = 'of-this-test';

export interface BrokerNode {
  readonly url: string;
  kill(): Promise<void>;
}

/** A cluster of two MQTT 5 brokers on loopback, which know each other. Killed when the test ends. */
export async function startBrokerCluster(dir: string): Promise<readonly [BrokerNode, BrokerNode]> {
  const epmdPort = String(await freePort());
  const env = { ...process.env, ROOTDIR: ERLANG, BINDIR: BIN ?? '', EMU: 'beam', PROGNAME: 'erl', ERL_EPMD_ADDRESS: '127.0.0.1', ERL_EPMD_PORT: epmdPort, LD_LIBRARY_PATH: join(ROOT, 'usr/lib/x86_64-linux-gnu'), ERL_LIBS: join(ROOT, 'usr/lib/x86_64-linux-gnu') };
  const run = (program: string, args: readonly string[], more: NodeJS.ProcessEnv = {}): ChildProcess => {
    const child = spawn(join(BIN ?? '', program), args, { stdio: 'ignore', env: { ...env, ...more } });
    onTestFinished(() => void child.kill('SIGKILL'));
    return child;
  };
  run('epmd', ['-port', epmdPort, '-address', '127.0.0.1']);
  await until(() => answers(Number(epmdPort)), 'Erlang’s port mapper to listen');
  const ask = (node: string, what: string): string => {
    const { stdout, stderr } = spawnSync(join(BIN ?? '', 'erl_call'), ['-c', COOKIE, '-name', node, '-e'], { env, input: `${what}\n`, encoding: 'utf8', timeout: 60_000 });
    return stdout + stderr;
  };
  const start = async (name: string): Promise<BrokerNode & { readonly node: string }> => {
    const [home, port] = [join(dir, name), await freePort()];
    mkdirSync(home);
    writeFileSync(join(home, 'ejabberd.yml'), configuration(port));
    const node = `${name}@127.0.0.1`;
    const args = ['-noinput', '-name', node, '-setcookie', COOKIE, '-kernel', 'inet_dist_use_interface', '{127,0,0,1}', '-mnesia', 'dir', `"${join(home, 'database')}"`, '-s', 'ejabberd'];
    const child = run('erlexec', args, { HOME: home, EJABBERD_CONFIG_PATH: join(home, 'ejabberd.yml'), EJABBERD_LOG_PATH: join(home, 'ejabberd.log') });
    await until(() => answers(port), `broker ${name} to listen`, 60_000);
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
  await until(() => ask(other.node, 'lists:keymember(ejabberd, 1, application:which_applications()).').includes('true'), 'the second broker to run', 60_000);
  const joined = ask(other.node, `ejabberd_cluster:join('${one.node}').`);
  if (!joined.includes('{ok, ok}')) throw new Error(`the second broker did not join: ${joined}`);
  await until(() => [one, other].every(({ node }) => [one, other].every((member) => ask(node, 'ejabberd_cluster:get_nodes().').includes(member.node))) && answers(Number(new URL(other.url).port)), 'both brokers to know each other', 60_000);
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
