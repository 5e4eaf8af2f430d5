/** The end of a day in this device's time as an instant; undefined for no day: the server has a usual end. */
export function endOfDay(day: string): string | undefined {
  return day === '' ? undefined : new Date(`${day}T23:59:59`).toISOString();
}
