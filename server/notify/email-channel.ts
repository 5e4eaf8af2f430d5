import { readFileSync } from 'node:fs';
import { createTransport } from 'nodemailer';
import type { SmtpConfig } from '../../domain/shift/server-config.ts';
import { NOTICE_WORDS } from '../../domain/words/notice-words.ts';
import { TERMS } from '../../domain/words/terms.ts';
import { type Channel, failed, type Message, type Outcome, withinTime } from './channel.ts';

/** The library's own are two and ten minutes: an alarm has no such time. */
const CONNECT_MS = 5_000;
const SILENT_MS = 8_000;

/** E-mail over SMTP, plain text. `accepted`: the relay took it. The Message-ID is the same at every try. */
export function emailChannel(smtp: SmtpConfig, ca: string | null): Channel {
  const transport = createTransport({
    host: smtp.host,
    port: smtp.port,
    secure: smtp.security === 'tls',
    requireTLS: smtp.security === 'starttls',
    ignoreTLS: smtp.security === 'none',
    connectionTimeout: CONNECT_MS,
    greetingTimeout: CONNECT_MS,
    socketTimeout: SILENT_MS,
    dnsTimeout: CONNECT_MS,
    disableFileAccess: true,
    disableUrlAccess: true,
    ...(ca === null ? {} : { tls: { ca } }),
    ...(smtp.username !== null && smtp.passwordFile !== null ? { auth: { user: smtp.username, pass: readFileSync(smtp.passwordFile, 'utf8').trim() } } : {}),
  });
  const send = async (address: string, message: Message): Promise<Outcome> => {
    try {
      const { response } = await transport.sendMail({
        from: { name: 'Potside', address: smtp.from },
        to: { name: '', address },
        subject: subjectOf(message),
        text: textOf(message),
        messageId: `<${message.id}@${smtp.from.split('@')[1] ?? 'potside'}>`,
        date: new Date(message.atMs),
        headers: { 'Auto-Submitted': 'auto-generated', 'X-Priority': message.priority === 'critical' || message.priority === 'high' ? '1' : '3' },
      });
      return { kind: 'accepted', detail: response.slice(0, 300) };
    } catch (error) {
      const { responseCode } = error as { responseCode?: number };
      // 5xx: this relay will never take it; 4xx and everything of the network may pass.
      return failed(error, responseCode !== undefined && responseCode >= 500 && responseCode < 600);
    }
  };
  return { send: (address, message, timeoutMs) => withinTime(timeoutMs, send(address, message)), close: () => transport.close() };
}

function subjectOf({ kind, priority, title, siteName, language }: Message): string {
  const said = priority === null ? title : `${TERMS[language].priorities[priority].toUpperCase()} ${title}`;
  return `${kind === 'test' ? NOTICE_WORDS[language].test(said) : said} (${siteName})`;
}

function textOf({ kind, lines, link, siteName, language }: Message): string {
  const words = NOTICE_WORDS[language];
  return [...lines, '', siteName, ...(link === null ? [] : ['', kind === 'seal' ? words.theShift(link) : words.takeIt(link)]), '', words.advice, ''].join('\n');
}
