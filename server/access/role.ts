/** Who a person is to Potside. */
export const ROLES = ['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'] as const;
/** What a bearer token may stand for: any person's role, or a gateway that hands readings over. */
export const TOKEN_ROLES = [...ROLES, 'gateway'] as const;
export type Role = (typeof TOKEN_ROLES)[number];

export type Permission =
  | 'watch'
  | 'acknowledge-alarm'
  /** *Blaster out and accounted for*. */
  | 'confirm-out'
  | 'reset-alarm'
  | 'shelve-alarm'
  | 'take-out-of-service'
  /** To be named as the one who agreed that an alarm goes out of service. */
  | 'approve-out-of-service'
  /** Log people under the hood, enter readings by hand, run a bump test. */
  | 'tend-rig'
  /** Sign the steps of the check before blasting: who stands at the rig. */
  | 'sign-check'
  /** Say that a rig whose checks are done may start. */
  | 'release-rig'
  | 'run-shift'
  /** Play a scenario on a training site. */
  | 'run-drill'
  /** Notes, photos, handover, a changed setup, corrections. */
  | 'add-to-record'
  /** One of the two signatures under a shift. */
  | 'sign-off'
  | 'see-refusals'
  /** Try changed alarm settings on recorded shifts, and propose them. */
  | 'rejudge'
  | 'change-alarm-settings'
  /** What a site's configuration file says, and who changed it. */
  | 'see-settings'
  /** Write the configuration file: rigs, points, limits, and the first site. */
  | 'change-settings'
  /** Keep a shift's readings from being erased, or let them go. */
  | 'hold-record'
  /** One's own password, second factor, sessions and addresses: nobody looking at a shared screen. */
  | 'own-account'
  /** Tie the tablet at the rig to its site, make the link of a wall screen. */
  | 'set-up-screens'
  | 'see-audit'
  | 'test-notices'
  /** People, tokens, everybody's sessions. */
  | 'manage-people'
  /** Hand over readings, as a gateway. */
  | 'deliver';

const EVERYBODY: readonly Permission[] = ['watch', 'own-account'];

/**
 * What each role may do; what is not named here is denied. Which alarms a supervisor may shelve is the rule's own matter:
 * carbon monoxide and loss of air are for a safety officer (`shelvableBy` in the alarm table).
 */
const PERMISSIONS: Readonly<Record<Role, readonly Permission[]>> = {
  viewer: [...EVERYBODY],
  tender: [...EVERYBODY, 'acknowledge-alarm', 'confirm-out', 'tend-rig', 'sign-check', 'add-to-record'],
  supervisor: [...EVERYBODY, 'run-drill', 'acknowledge-alarm', 'confirm-out', 'reset-alarm', 'shelve-alarm', 'tend-rig', 'sign-check', 'release-rig', 'run-shift', 'add-to-record', 'sign-off', 'see-refusals', 'see-settings', 'set-up-screens', 'test-notices', 'rejudge'],
  'safety-officer': [...EVERYBODY, 'run-drill', 'acknowledge-alarm', 'confirm-out', 'reset-alarm', 'shelve-alarm', 'take-out-of-service', 'approve-out-of-service', 'tend-rig', 'add-to-record', 'sign-off', 'see-refusals', 'see-settings', 'see-audit', 'test-notices', 'rejudge', 'hold-record'],
  manager: [...EVERYBODY, 'approve-out-of-service', 'add-to-record', 'sign-off', 'see-refusals', 'see-settings', 'see-audit', 'rejudge'],
  administrator: [...EVERYBODY, 'run-drill', 'acknowledge-alarm', 'reset-alarm', 'shelve-alarm', 'take-out-of-service', 'tend-rig', 'run-shift', 'add-to-record', 'see-refusals', 'see-settings', 'set-up-screens', 'see-audit', 'test-notices', 'manage-people', 'rejudge', 'change-alarm-settings', 'change-settings', 'hold-record'],
  gateway: ['deliver'],
};

export function may(role: Role, permission: Permission): boolean {
  return PERMISSIONS[role].includes(permission);
}

/** A role that a person may have. */
export function isRole(text: string): text is (typeof ROLES)[number] {
  return (ROLES as readonly string[]).includes(text);
}

/**
 * True where this person acts at the rig: a tender unless he says otherwise, a supervisor on the rig-side device only. Nobody else's
 * acknowledgement silences the rig.
 */
export function isAtRig(role: Role, said: boolean | undefined): boolean {
  if (role === 'tender') return said ?? true;
  return role === 'supervisor' && said === true;
}
