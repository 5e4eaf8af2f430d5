import type { FastifyReply, FastifyRequest } from 'fastify';

/** Sets a cookie that scripts can't read and other pages can't send; over TLS only this host can have set it. */
export function setOwnCookie(request: FastifyRequest, reply: FastifyReply, name: string, value: string, maxAgeS: number): void {
  const isSecure = request.protocol === 'https';
  reply.setCookie(`${isSecure ? '__Host-' : ''}${name}`, value, { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure, maxAge: maxAgeS });
}

export function clearOwnCookie(request: FastifyRequest, reply: FastifyReply, name: string): void {
  const isSecure = request.protocol === 'https';
  reply.clearCookie(`${isSecure ? '__Host-' : ''}${name}`, { path: '/', httpOnly: true, sameSite: 'strict', secure: isSecure });
}
