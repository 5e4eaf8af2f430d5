import type { Session } from '../../api/session.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import type { Words } from '../../words/en.ts';

/** Why this person can't sign now, in words; null where they can. The server judges it again. */
export function whyNotSign(shift: Shift, session: Session, maySign: boolean, words: Words): string | null {
  const told = words.shifts.signOff;
  const [first, second] = shift.signOffs;
  if (second) return told.sealing;
  if (!maySign) return told.notYourRole;
  if (first?.name === session.name) return told.alreadyYou;
  if (first && first.role === session.role) return told.otherRole(words.roleNames(first.role));
  return null;
}
