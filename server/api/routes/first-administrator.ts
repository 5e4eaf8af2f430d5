import { z } from 'zod';
import type { Api, ApiContext } from '../context.ts';
import { ProblemError } from '../problem-error.ts';
import { setSignedIn, toCaller } from './session.ts';

const body = z.strictObject({ code: z.string().max(40).describe('as the console shows it'), name: z.string().max(64), password: z.string().max(200) });

/** The way in while there is nobody: the one-time code of the console. */
export function firstAdministratorRoutes(api: Api, context: ApiContext): void {
  const { accounts, cookies, firstAdministrator, signIn } = context;
  api.get('/first-administrator', { config: { permission: 'anyone' }, schema: { summary: 'Is anybody there yet?', response: { 200: z.object({ open: z.boolean() }) } } }, async () => ({ open: await firstAdministrator.isOpen() }));
  api.post('/first-administrator', { config: { permission: 'anyone', rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'Make the first administrator', body, response: { 201: z.object({ name: z.string(), role: z.string() }) } } }, async (request, reply) => {
    const { code, name, password } = request.body;
    if (!(await firstAdministrator.check(code))) throw new ProblemError(403, 'Not allowed', 'this is not the code on the console, or it is used up: a new one comes with the next start while nobody exists');
    await firstAdministrator.make(name, password, request.ip);
    const person = await accounts.find(name);
    if (!person) throw new Error('the first administrator was not kept');
    setSignedIn(request, reply, cookies, await signIn.open(person, await toCaller(request, context), 'password'));
    return reply.code(201).send({ name, role: person.role });
  });
}
