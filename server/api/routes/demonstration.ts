import { z } from 'zod';
import type { Demonstration } from '../../demonstration/demonstration.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { conflict, ProblemError } from '../problem-error.ts';

const person = z.object({ name: z.string(), password: z.string(), role: z.string() });
const state = z.object({
  state: z.enum(['off', 'starting', 'running', 'failed']),
  url: z.string().nullable().describe('where it answers, on the loopback of the machine that Potside runs on; null unless it runs'),
  people: z.array(person).describe('who may sign in there'),
  why: z.string().nullable().describe('why there is none; null unless it failed'),
});
const SET_UP = { permission: 'change-settings' } as const;

function describe(demonstration: Demonstration): z.infer<typeof state> {
  const found = demonstration.look();
  return { state: found.state, url: found.state === 'running' ? found.url : null, people: found.state === 'running' ? [...found.people] : [], why: found.state === 'failed' ? found.why : null };
}

/** A made-up site to look at while no real one is set up: a program of its own, asked for, watched and ended here. */
export function demonstrationRoutes(api: Api, context: ApiContext): void {
  /** @throws ProblemError 403 whose reach is some sites only, 409 where a site is set up */
  const found = (request: Parameters<typeof need>[0]): Demonstration => {
    if (need(request, 'change-settings').sites !== null) throw new ProblemError(403, 'Not allowed', 'your reach is some sites only: the demonstration is started by somebody who may see all');
    if (!context.demonstration) throw conflict('a site is set up here: the demonstration is started in the console, with `npx potside demo`');
    return context.demonstration;
  };
  api.get('/demonstration', { config: SET_UP, schema: { summary: 'Does a demonstration run beside this server, which has no site yet?', response: { 200: state } } }, (request) => describe(found(request)));
  api.post('/demonstration', { config: SET_UP, schema: { summary: 'Start the demonstration; one that starts or runs already stays the one', response: { 202: state } } }, async (request, reply) => {
    const demonstration = found(request);
    demonstration.start();
    return reply.code(202).send(describe(demonstration));
  });
  api.delete('/demonstration', { config: SET_UP, schema: { summary: 'End the demonstration; nothing of it is kept', response: { 200: state } } }, async (request) => {
    const demonstration = found(request);
    await demonstration.stop();
    return describe(demonstration);
  });
}
