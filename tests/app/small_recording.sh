# Sourced: small_recording FILE [SECONDS [SHIFT]] writes exported amplitudes, 20 a second: five contractions of 6 s in each
# minute, the same bytes every time.
small_recording() {
    awk -v seconds="${2:-60}" -v shift="${3:-0}" 'BEGIN {
        print "# person: P-" (100 + shift % 7); print "time_s,emg_uV"
        for (i = 0; i < 20 * seconds; ++i) {
            t = i / 20; phase = (t + 12 - 3) % 12
            work = phase < 6 ? 14 + shift % 5 - 0.2 * phase : 0
            noise = ((i * 7919 + shift * 104729) % 1009) / 1009
            printf "%.2f,%.2f\n", t, 2 + noise + work * (0.9 + 0.2 * noise)
        }
    }' > "$1"
}
