import type { NoticeWords } from './notice-words.ts';

export const notices: NoticeWords = {
  dates: 'es',
  value: (value, limit) => `${value}, límite ${limit}`,
  first: (response) => `Primero: ${response}`,
  within: (time) => `Plazo: ${time}`,
  several: (n) => `${n} alarmas a la vez`,
  andMore: (n) => `y ${n} más`,
  testTitle: 'Esto es una prueba, no ha pasado nada',
  testLine: (by, time) => `La pidió ${by}, ${time}. Quien recibe esto está en el plan.`,
  sealTitle: (shift) => `Turno ${shift} sellado`,
  training: (title) => `Simulacro: ${title}`,
  sealed: (shift, rig, day) => `El registro del turno ${shift} de ${rig} quedó sellado, ${day}. No hay que hacer nada.`,
  trainingLine: 'Simulacro: nada en este turno pasó de verdad.',
  signed: (name, role, meaning, day) => `Firmado por ${name}, ${role}: ${meaning}, ${day}`,
  root: (root) => `Raíz: ${root}`,
  key: (key) => `Clave: ${key}`,
  keep: 'Guarde este mensaje: quien revise más tarde el record.zip de este turno con potside verify tiene que encontrar en él la misma raíz y la misma clave; si no, no es el registro que se selló.',
  test: (title) => `Prueba: ${title}`,
  takeIt: (link) => `Encárguese: ${link}`,
  theShift: (link) => `El turno: ${link}`,
  advice: 'Potside vigila y aconseja. No reemplaza la alarma de CO, el hombre muerto ni a una persona competente.',
};
