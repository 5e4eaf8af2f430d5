/** Who a person is to Potside. */
export const ROLES = ['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

export type Permission = 'watch' | 'acknowledge-alarm' | 'reset-alarm' | 'run-shift' | 'see-refusals';

/** What each role may do; what is not named here is denied. */
const PERMISSIONS: Readonly<Record<Role, readonly Permission[]>> = {
  viewer: ['watch'],
  tender: ['watch', 'acknowledge-alarm'],
  supervisor: ['watch', 'acknowledge-alarm', 'reset-alarm', 'run-shift', 'see-refusals'],
  'safety-officer': ['watch', 'acknowledge-alarm', 'reset-alarm', 'see-refusals'],
  manager: ['watch', 'see-refusals'],
  administrator: ['watch', 'acknowledge-alarm', 'reset-alarm', 'run-shift', 'see-refusals'],
};

export function may(role: Role, permission: Permission): boolean {
  return PERMISSIONS[role].includes(permission);
}

export function isRole(text: string): text is Role {
  return (ROLES as readonly string[]).includes(text);
}
