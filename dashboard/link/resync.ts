/**
 * Decides what a browser does with each push. Pure. A push is applied only when it is the very next one of the same server run;
 * on anything else the page is *catching up* until a snapshot comes, because a hole in the pushes could hide an alarm.
 */
export type Following =
  | { readonly state: 'waiting' }
  | { readonly state: 'following'; readonly boot: string; readonly revision: number }
  | { readonly state: 'catching-up'; readonly because: Doubt; readonly boot: string; readonly revision: number };

/** `hole`: a push was missed. `broken`: the connection went. `unseen`: the page was hidden or the machine asleep. */
export type Doubt = 'hole' | 'broken' | 'unseen';

export type LinkEvent =
  | { readonly kind: 'connected' }
  | { readonly kind: 'disconnected' }
  | { readonly kind: 'snapshot'; readonly boot: string; readonly revision: number }
  | { readonly kind: 'push'; readonly boot: string; readonly revision: number }
  /** The page was hidden or the machine asleep: what was missed can't be known. */
  | { readonly kind: 'distrust' };

/**
 * What the rim has to do: take the content in, ask for a snapshot, ask only if none comes by itself (a server greets a new
 * connection with one), count the frame as a sign of life, or nothing.
 */
export type LinkEffect = 'apply' | 'ask-resync' | 'expect-snapshot' | 'sign-of-life' | 'none';

export interface LinkStep {
  readonly next: Following;
  readonly effect: LinkEffect;
}

export const WAITING: Following = { state: 'waiting' };

export function nextFollowing(now: Following, event: LinkEvent): LinkStep {
  switch (event.kind) {
    case 'snapshot':
      return { next: { state: 'following', boot: event.boot, revision: event.revision }, effect: 'apply' };
    case 'push':
      return nextOnPush(now, event);
    case 'connected':
      return { next: suspect(now, 'broken'), effect: 'expect-snapshot' };
    case 'distrust':
      return { next: suspect(now, 'unseen'), effect: now.state === 'waiting' ? 'none' : 'ask-resync' };
    case 'disconnected':
      return { next: suspect(now, 'broken'), effect: 'none' };
  }
}

function nextOnPush(now: Following, push: { readonly boot: string; readonly revision: number }): LinkStep {
  if (now.state !== 'following') return { next: now, effect: 'none' };
  if (push.boot !== now.boot) return { next: suspect(now, 'hole'), effect: 'ask-resync' };
  if (push.revision === now.revision + 1) return { next: { ...now, revision: push.revision }, effect: 'apply' };
  // An equal revision is a heartbeat or a repetition: nothing new in it, but the server lives.
  if (push.revision === now.revision) return { next: now, effect: 'sign-of-life' };
  if (push.revision < now.revision) return { next: now, effect: 'none' };
  return { next: suspect(now, 'hole'), effect: 'ask-resync' };
}

/** The gravest doubt stays: a page that was hidden isn't trusted the more because it then also missed a push. */
function suspect(now: Following, because: Doubt): Following {
  if (now.state === 'waiting') return now;
  const gravest = now.state === 'catching-up' && now.because === 'unseen' ? now.because : because;
  return { state: 'catching-up', because: gravest, boot: now.boot, revision: now.revision };
}
