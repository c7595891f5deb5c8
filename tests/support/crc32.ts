// The checksum that records carry, so that tests can make records of their own.

/** CRC-32 of IEEE 802.3 in hex; Node has one of its own only from 20.15 on. */
export function crc32(text: string): string {
  let crc = ~0;
  for (const byte of Buffer.from(text)) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (~crc >>> 0).toString(16).padStart(8, "0");
}
