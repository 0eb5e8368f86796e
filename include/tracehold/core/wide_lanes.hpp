#pragma once
// TRACEHOLD_WIDE before a function: it is compiled twice, for every x86-64 and for those with AVX2, and the machine it runs
// on takes its own. Both give the same bits, since nothing is fused or reordered. For plain loops over arrays whose speed
// counts; what they call must be inlined to be compiled twice as well. Left out under sanitizers, which are not ready
// yet when the choice is made.
#if defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(memory_sanitizer) || __has_feature(thread_sanitizer)
#define TRACEHOLD_SANITIZED 1
#endif
#endif

#if defined(__x86_64__) && defined(__gnu_linux__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && \
    !defined(TRACEHOLD_SANITIZED)
#define TRACEHOLD_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define TRACEHOLD_WIDE
#endif

// Four doubles, or eight floats, side by side, with the operators of one; as many as a register of AVX2 holds. Handed to
// functions by reference only: by value it would depend on the machine how.
typedef double FourDoubles __attribute__((vector_size(32), aligned(32), may_alias));
typedef float EightFloats __attribute__((vector_size(32), aligned(32), may_alias));

// Any such neighbours in an array, which need not lie as the above do: no reference to the above may stand for them, nor one whose
// type is deduced. Where one is needed, copy them.
typedef double FourInArray __attribute__((vector_size(32), aligned(8), may_alias));
typedef float EightInArray __attribute__((vector_size(32), aligned(4), may_alias));
// Clang passes over the alignment that an alias by `using` asks for.
static_assert(alignof(FourDoubles) == 32 && alignof(EightFloats) == 32 && alignof(FourInArray) == 8 && alignof(EightInArray) == 4);

[[gnu::always_inline]] inline FourInArray& four_at(double* values) { return reinterpret_cast<FourInArray&>(*values); }
[[gnu::always_inline]] inline const FourInArray& four_at(const double* values) {
    return reinterpret_cast<const FourInArray&>(*values);
}
[[gnu::always_inline]] inline EightInArray& eight_at(float* values) { return reinterpret_cast<EightInArray&>(*values); }
[[gnu::always_inline]] inline const EightInArray& eight_at(const float* values) {
    return reinterpret_cast<const EightInArray&>(*values);
}

// TRACEHOLD_INDEPENDENT before a loop: no turn of it reads what another writes, though the compiler cannot see that.
#if defined(__clang__)
#define TRACEHOLD_INDEPENDENT _Pragma("clang loop vectorize(assume_safety)")
#elif defined(__GNUC__)
#define TRACEHOLD_INDEPENDENT _Pragma("GCC ivdep")
#else
#define TRACEHOLD_INDEPENDENT
#endif
