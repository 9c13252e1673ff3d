// A client in memory, and what it says as the fuzzer has it: records cut at 0xFE become LSP messages and
// files.
#pragma once

#include "fuzz/fuzz.h"
#include "rpc/framing.h"
#include "rpc/stream.h"

#include <condition_variable>
#include <map>
#include <mutex>
#include <vector>

namespace turnwright::fuzz {

using rpc::Json;

/// A file written in the course of a session, when the server has read and answered what was said before.
struct Writing {
    std::size_t at;        ///< Bytes said before
    std::int64_t answered; ///< Id of the request to wait for; 0: at once
    std::size_t file;      ///< In the folder of session_folder.h
    std::string bytes;
};

/// Says everything at once, but for what files it writes, then ends; keeps what it is told.
class Script : public rpc::ByteStream {
public:
    Script(std::string input, std::vector<Writing> writings, std::size_t piece)
        : input_(std::move(input)), writings_(std::move(writings)), piece_(piece) {}
    std::size_t read(char* to, std::size_t room) override;
    bool readable() override { return true; }
    void write(std::string_view bytes) override;
    void close() override;
    /// All messages of the server; the program ends when they are no frames of JSON.
    std::vector<Json> told() const;

private:
    void write_file(const Writing& writing);

    std::string input_;
    std::vector<Writing> writings_;
    std::size_t piece_;
    std::size_t at_ = 0;
    std::size_t written_ = 0; ///< Files
    std::mutex mutex_;        ///< Of the rest
    std::condition_variable changed_;
    bool closed_ = false;
    std::string told_;
};

/// What one input says.
struct Said {
    std::string bytes;
    std::vector<Writing> writings;
    /// Requests that the server must answer once each, unless `ends` or `broken`.
    std::map<std::int64_t, std::string> asked;
    bool broken = false; ///< Bytes of the input's own, which need not be frames or may take an id twice
    bool ends = false;   ///< `exit` is among the messages, or a process to watch
};
Said read_records(std::string_view input);

} // namespace turnwright::fuzz
