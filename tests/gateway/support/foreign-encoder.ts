import protobuf from 'protobufjs';

/**
 * A second encoder of Sparkplug B: another library (protobufjs of today, by reflection) over the schema the specification publishes
 * (Sparkplug 3.0 §6.4), shortened to what a sensor sends. Shares nothing with the codec under test.
 */
const SCHEMA = `
syntax = "proto2";
message Payload {
  message PropertyValue { optional uint32 type = 1; optional bool is_null = 2; oneof value { uint32 int_value = 3; uint64 long_value = 4; string string_value = 8; PropertySet propertyset_value = 9; } }
  message PropertySet { repeated string keys = 1; repeated PropertyValue values = 2; }
  message Template { optional string version = 1; repeated Metric metrics = 2; }
  message Metric {
    optional string name = 1;
    optional uint64 alias = 2;
    optional uint64 timestamp = 3;
    optional uint32 datatype = 4;
    optional bool is_historical = 5;
    optional bool is_transient = 6;
    optional bool is_null = 7;
    optional PropertySet properties = 9;
    oneof value { uint32 int_value = 10; uint64 long_value = 11; float float_value = 12; double double_value = 13; bool boolean_value = 14; string string_value = 15; bytes bytes_value = 16; Template template_value = 18; }
  }
  optional uint64 timestamp = 1;
  repeated Metric metrics = 2;
  optional uint64 seq = 3;
  optional string uuid = 4;
  optional bytes body = 5;
}`;

export const TYPE = { Int8: 1, Int16: 2, Int32: 3, Int64: 4, UInt32: 7, UInt64: 8, Float: 9, Double: 10, Boolean: 11, String: 12 } as const;

const Payload = protobuf.parse(SCHEMA, { keepCase: true }).root.lookupType('Payload');

/** Bytes of a payload given in the schema's own names; long numbers as text. */
export function encode(payload: { timestamp?: number; seq?: number; metrics?: readonly Record<string, unknown>[] }): Uint8Array {
  return Payload.encode(Payload.fromObject(payload)).finish();
}

/** What a foreign host would read. */
export function decode(bytes: Uint8Array): Record<string, unknown> {
  return Payload.toObject(Payload.decode(bytes), { longs: Number });
}
