/** As far as the tests use it. One unit system for the whole process; throws at 0 % humidity. */
declare module 'psychrolib' {
  const psychrolib: {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetSatVapPres(celsius: number): number;
    GetTDewPointFromRelHum(celsius: number, relativeHumidity: number): number;
    GetTWetBulbFromRelHum(celsius: number, relativeHumidity: number, pascal: number): number;
    GetHumRatioFromRelHum(celsius: number, relativeHumidity: number, pascal: number): number;
    GetMoistAirDensity(celsius: number, humidityRatio: number, pascal: number): number;
  };
  export default psychrolib;
}
