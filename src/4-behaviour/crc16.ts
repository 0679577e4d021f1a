// The CRC that guards the table: polynomial 0x1021, start 0xFFFF, bits in natural order, no final change
// (catalogued as CRC-16/IBM-3740; check value 0x29B1 for "123456789").

export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff
  for (const byte of bytes) {
    crc ^= byte << 8
    for (let bit = 0; bit < 8; bit++)
      crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : (crc << 1) & 0xffff
  }
  return crc
}
