// A client in memory, and what it says as the fuzzer has it: records cut at 0xFE become LSP messages.
#pragma once

#include "fuzz/fuzz.h"
#include "rpc/framing.h"
#include "rpc/stream.h"

#include <map>
#include <vector>

namespace turnwright::fuzz {

using rpc::Json;

/// Says everything at once, then ends; keeps what it is told.
class Script : public rpc::ByteStream {
public:
    Script(std::string input, std::size_t piece) : input_(std::move(input)), piece_(piece) {}
    std::size_t read(char* to, std::size_t room) override;
    bool readable() override { return true; }
    void write(std::string_view bytes) override { told_ += bytes; }
    void close() override {}
    /// All messages of the server; the program ends when they are no frames of JSON.
    std::vector<Json> told() const;

private:
    std::string input_;
    std::size_t piece_;
    std::size_t at_ = 0;
    std::string told_;
};

/// What one input says.
struct Said {
    std::string bytes;
    /// Requests that the server must answer once each, unless `ends` or `broken`.
    std::map<std::int64_t, std::string> asked;
    bool broken = false; ///< Bytes of the input's own, which need not be frames or may take an id twice
    bool ends = false;   ///< `exit` is among the messages, or a process to watch
};
Said read_records(std::string_view input);

} // namespace turnwright::fuzz
