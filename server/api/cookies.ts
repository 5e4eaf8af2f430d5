import type { FastifyReply, FastifyRequest } from 'fastify';
import { COOKIES } from '../access/identify.ts';

type Cookie = Exclude<keyof typeof COOKIES, 'tie'>;

/** Sets a cookie that scripts can't read and other pages can't send; over TLS only this host can have set it. */
export function setOwnCookie(request: FastifyRequest, reply: FastifyReply, cookie: Cookie, value: string, maxAgeS: number): void {
  const isSecure = request.protocol === 'https';
  reply.setCookie(`${isSecure ? '__Host-' : ''}${COOKIES[cookie]}`, value, { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure, maxAge: maxAgeS });
}

export function clearOwnCookie(request: FastifyRequest, reply: FastifyReply, cookie: Cookie): void {
  const isSecure = request.protocol === 'https';
  reply.clearCookie(`${isSecure ? '__Host-' : ''}${COOKIES[cookie]}`, { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure });
}
